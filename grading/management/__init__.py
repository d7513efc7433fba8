"""Commands of the marker."""
