"""What can go wrong in the stock room's sums."""

from examkit.errors import ExamkitError


class StockError(ExamkitError):
    """Base of the stock room's refusals: what, which, and the way out."""


class StockTooWeak(StockError):
    """A solution cannot be diluted to something stronger than itself."""


class UnknownSubstance(StockError):
    """A salt or reagent that the knowledge base does not have."""
