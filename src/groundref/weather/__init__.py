"""What the weather says about the wind of a plan: reports pasted as they are, and the wind used."""
