"""Results near their limit: what this exam's amounts may or may not show, where nobody has settled it."""

from examkit.chemistry.equilibria.settled import settled_for
from examkit.chemistry.equilibria.table import margins_of_specimen


def near(kb, margins):
    """(test, facet, step, ion, Margin) of calculated results that are marginal and not settled."""
    for (test, facet, step), here in margins.items():
        for ion, margin in here.items():
            if margin.state == "marginal" and settled_for(kb, test, facet, step, ion) is None:
                yield test, facet, step, ion, margin


def doubtful(kb, scheme, specimen):
    """The (test, facet) in which this specimen's own amounts may show nothing."""
    margins = margins_of_specimen(kb, scheme, specimen)
    return frozenset((test, facet) for test, facet, _step, _ion, _margin in near(kb, margins))
