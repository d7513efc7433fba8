"""Tests mirror the packages; every name is a sentence."""
