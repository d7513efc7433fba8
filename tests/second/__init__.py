"""Tests of grading.second: the sample, blind marking, agreement, settling."""
