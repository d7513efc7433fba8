"""Filters that set chemistry in pages."""
