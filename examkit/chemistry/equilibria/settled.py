"""Notes on what was calculated otherwise than the table has it, and what holds."""


def settled_for(kb, test, facet, step, *names):
    """The note that settles what is calculated for an ion (under any of its names) at a step, or None."""
    key = test if facet == "tube" else f"{test}.{facet}"
    for item in kb.constants.settled:
        if item.test == key and item.ion in names and (item.step in ("", step) or not step):
            return item
    return None
