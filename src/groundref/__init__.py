"""groundref: a recorded flight becomes a debrief of its ground-reference maneuvers."""
