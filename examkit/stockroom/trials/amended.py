"""An expected record with what is also accepted for one bottle; pure, on records as JSON."""

from copy import deepcopy


def amended(record, amendments):
    """The record with these amendments: each a dict of test, facet, text, seen and source.

    What they say counts as also accepted; what is expected, and every inference, stays as it was.
    """
    new = deepcopy(record)
    for line in new["lines"]:
        for item in amendments:
            if item["test"] == line["test"] and line["done"]:
                line["also_accepted"].append({
                    "facet": item["facet"], "text": item["text"],
                    "seen": [outcome | {"facet": item["facet"]} for outcome in item["seen"]],
                    "sources": [item["source"]],
                })
    return new


def facets_of(line):
    """The facets in which a line can be amended: those that show something, then those that show nothing."""
    return list(dict.fromkeys([*(outcome["facet"] for outcome in line["seen"]), *line["nothing_in"]]))
