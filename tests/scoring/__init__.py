"""Findings against the expected record."""
