"""Whole records with the marks that a teacher would give."""
