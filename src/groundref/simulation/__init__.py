"""Simulated lessons: recordings whose truth is known."""
