"""Measurements, run by hand; nothing here is asserted by time."""
