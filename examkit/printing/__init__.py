"""Printing: plain records of each printed sheet, filled by selectors and set as PDF."""
