"""Try it on the ground: the student flies the bank in our own simulator, behind a WebSocket."""
