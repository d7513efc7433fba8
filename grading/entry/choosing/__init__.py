"""Outcomes chosen from lists instead of typed: what is offered, how a choice becomes words, the page for it."""
