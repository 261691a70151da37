"""The pictures of a debrief, one a file, each a function to one SVG element."""
