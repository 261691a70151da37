"""Flights of known truth: airplanes of an independent flight dynamics model, and real orbits."""
