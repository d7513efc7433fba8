"""Pages of what is our own; teachers only, and only of their centre."""

from examkit.own.views.entries import back, change, index, withdraw
from examkit.own.views.outcomes import outcome_new, outcome_where
from examkit.own.views.reagents import reagent_new, reagents
from examkit.own.views.salts import salt_new
from examkit.own.views.schemes import scheme_copy

__all__ = [
    "back", "change", "index", "outcome_new", "outcome_where", "reagent_new", "reagents", "salt_new",
    "scheme_copy", "withdraw",
]
