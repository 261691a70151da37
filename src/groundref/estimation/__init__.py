"""From a track to motion, wind, airspeed, bank and height, each with its standard deviation."""
