"""A map beneath the pictures from above, out of a source that the user names; without one there is none."""
