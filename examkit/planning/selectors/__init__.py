"""What planning reads from the database, shaped for pages, commands and the other parts."""

from examkit.planning.selectors.draw import plan_of, seating
from examkit.planning.selectors.life import ORDER, backwards, next_state, steps, still_missing
from examkit.planning.selectors.pool import offered, pool_warnings
from examkit.planning.selectors.roster import compare

__all__ = [
    "ORDER", "backwards", "compare", "next_state", "offered", "plan_of", "pool_warnings", "seating", "steps",
    "still_missing",
]
