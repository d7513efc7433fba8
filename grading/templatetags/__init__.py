"""Filters that set marks in pages."""
