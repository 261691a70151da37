"""Before the flight: the bank, crab, ground speed and sight picture to expect at each place of a maneuver."""
