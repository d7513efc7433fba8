"""Findings against the expected record, by a mark scheme: awards with reasons in words, and how sure.

Pure: no Django, no clock, no randomness. Fractions are exact; marks are integers of the smallest step.
"""
