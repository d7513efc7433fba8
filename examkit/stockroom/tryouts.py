"""How a reagent's bottle is tried: with a drawn salt that answers, and with one that does not; pure."""

from dataclasses import dataclass

from examkit.chemistry.describe import describe_test
from examkit.chemistry.knowledge.model import Outcome
from examkit.chemistry.uses import uses


@dataclass(frozen=True)
class Tryout:
    """One test with two salts: the one that answers and what it shows, and one that shows nothing there."""

    title: str
    with_salt: str
    shows: str
    without: str


def tryouts(kb, records, need):
    """For a reagent that is needed: the test in which one drawn salt answers and another does not.

    `records` are the expected records (JSON) of the drawn salts. Of several tests the one with the fewest
    other reagents is taken, since it tells most of this one; None where no drawn salt answers.
    """
    found = [tryout for test in need.tests if (tryout := _tryout(kb, records, need.reagent, test))]
    return min(found, key=lambda each: each[0], default=(0, None))[1]


def _tryout(kb, records, reagent, test):
    facets, others = _facets(kb, test, reagent)
    shown = [(_name(kb, record), _outcomes(line, facets))
             for record in records for line in record["lines"] if line["test"] == test and line["done"]]
    answer = next((each for each in shown if each[1]), None)
    if answer is None:
        return None
    silent = next((name for name, outcomes in shown if not outcomes), "")
    words = describe_test(kb.tests[test], list(answer[1].items()))
    return (not silent, others), Tryout(kb.tests[test].title, answer[0], words, silent)


def _facets(kb, test, reagent):
    """The facets in which a reagent is used in a test (all, where it is used for the whole), and how many
    other reagents are used there."""
    found = uses(kb.tests[test])
    own = {use.facet for use in found if use.reagent == reagent}
    facets = set(kb.tests[test].facets) if not own or "" in own else own
    return facets, len({use.reagent for use in found if not use.facet or use.facet in facets} - {reagent})


def _outcomes(line, facets):
    """What a line shows in these facets: outcomes by facet; empty where nothing is seen."""
    found = {}
    for data in line["seen"]:
        if data["facet"] in facets:
            fields = {key: value for key, value in data.items() if key in Outcome.__dataclass_fields__}
            fields["colours"] = tuple(data["colours"])
            found.setdefault(data["facet"], []).append(Outcome(**fields))
    return {facet: seen for facet, seen in found.items() if any(outcome.seen for outcome in seen)}


def _name(kb, record):
    return " + ".join(kb.salts[part["salt"]].name for part in record["specimen"])
