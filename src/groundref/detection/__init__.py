"""Finding maneuvers in a flight."""
