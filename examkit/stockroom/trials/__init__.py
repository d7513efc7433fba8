"""Bottles of salts tried on the scheme: expected beside seen, and how a difference is settled."""
