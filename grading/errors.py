"""What can go wrong in marking, in words for the examiner."""


class GradingError(Exception):
    """Base of every error of the marker."""
