"""Tests of the planning package: the pure draw and class list first, then services and pages."""
