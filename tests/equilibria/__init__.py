"""Equilibria: textbook examples, group separations against other data, limits, properties."""
