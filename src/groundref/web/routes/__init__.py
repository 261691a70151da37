"""What the server answers, one file for each part of the work."""
