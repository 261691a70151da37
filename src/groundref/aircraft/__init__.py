"""Airplanes as data."""
