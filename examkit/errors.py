"""What can go wrong in planning, stock room and printing, in words for the person at the screen."""


class ExamkitError(Exception):
    """Base of every error that a view turns into a message: what, which, and the way out."""


class Refused(ExamkitError):
    """The step is not possible now; the message names what is missing."""


class ChangedMeanwhile(ExamkitError):
    """Somebody else saved this first; both versions are shown."""

    def __init__(self, message, *, theirs=None):
        self.theirs = theirs
        super().__init__(message)
