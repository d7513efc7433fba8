"""Sums over marks against published worked examples."""
