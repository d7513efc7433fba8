"""The engine: what a specimen shows, and what an observation points to.

Pure: no Django, no clock, no randomness; it is told where the knowledge base lies.
"""
