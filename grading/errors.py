"""What can go wrong in marking, in words for the examiner."""


class GradingError(Exception):
    """Base of every error of the marker."""


class NotPossible(GradingError):
    """The step is not possible now; the message names what stands in the way."""


class NoSuchMark(GradingError):
    """What was typed is not a mark that this part can have."""


class ReasonNeeded(GradingError):
    """The step needs a reason in words: it goes into the audit trail."""
