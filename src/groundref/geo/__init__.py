"""Where things are on the earth."""
