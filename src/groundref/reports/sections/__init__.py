"""One section of the page a kind of maneuver: which pictures and tables it has, and what they say."""
