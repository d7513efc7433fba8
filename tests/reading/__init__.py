"""Tests of the same part of the packages."""
