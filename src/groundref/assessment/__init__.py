"""Judging a maneuver: elements of a published standard, and common errors with their cure."""
