"""Checks of shared/ that need no application: make-up of reagents, label sheets."""
