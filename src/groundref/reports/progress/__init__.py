"""A student's progress told: on a terminal, as pictures, as a page on screen and as one for the folder."""
