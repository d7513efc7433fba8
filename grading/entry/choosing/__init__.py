"""Outcomes chosen from lists: what is offered, how a choice becomes words, the page for it."""
