"""`expect`: the whole expected record of a specimen, line by line through a scheme."""

from dataclasses import dataclass, replace

from examkit.chemistry.ageing import also_of_old_stock, old_stock
from examkit.chemistry.bench import walk
from examkit.chemistry.equilibria.near import near
from examkit.chemistry.equilibria.table import margins_of_specimen
from examkit.chemistry.observe import Observation, find_scheme, observation
from examkit.chemistry.specimen import Specimen, left_behind, shut


@dataclass(frozen=True)
class Line:
    """One line of the record: done with its observation, or not done and why."""

    test: str
    stage: str
    title: str
    done: bool
    why_not: str
    observation: Observation | None
    cautions: tuple[str, ...]

    def as_json(self):
        """The line as the JSON of design has it."""
        head = {"test": self.test, "stage": self.stage, "title": self.title, "done": self.done}
        if not self.done:
            return head | {
                "text": self.why_not,
                "why_not": self.why_not,
                "seen": [],
                "nothing_in": [],
                "choose": "all",
                "also_accepted": [],
                "points_to": [],
                "rules_out": [],
                "equations": [],
                "margin": "none",
                "equilibria": [],
                "remarks": [],
                "cautions": [],
                "sources": [],
            }
        body = self.observation.as_json()
        del body["test"], body["subject"]
        return head | body | {"cautions": list(self.cautions)}


@dataclass(frozen=True)
class Record:
    """The expected record of a specimen under one scheme and one edition of the knowledge base."""

    specimen: Specimen
    scheme: str
    edition: str
    lines: tuple[Line, ...]

    def as_json(self):
        """The document that `manage.py expect --json` prints, and that an exam freezes."""
        return {
            "specimen": [{"salt": part.salt.formula, "grams": part.grams} for part in self.specimen.parts],
            "scheme": self.scheme,
            "edition": self.edition,
            "cations": list(self.specimen.cations),
            "anions": list(self.specimen.anions),
            "lines": [line.as_json() for line in self.lines],
        }


def expect(kb, specimen, scheme_key="semimicro"):
    """The expected record of `specimen`; its own amounts give margins."""
    scheme = find_scheme(kb, scheme_key)
    margins = margins_of_specimen(kb, scheme, specimen)
    behind = {*left_behind(kb, specimen), *shut(specimen)}
    stale = old_stock(kb, scheme, specimen)
    lines = (_line(kb, scheme, visit, margins, behind) for visit in walk(kb, scheme, specimen))
    return Record(specimen, scheme.key, kb.edition, tuple(_aged(kb, line, specimen, stale) for line in lines))


def _aged(kb, line, specimen, stale):
    """The line with what old stock shows accepted beside it."""
    sights = stale.get(line.test)
    if not line.done or not sights:
        return line
    seen = line.observation
    more = also_of_old_stock(kb, kb.tests[line.test], specimen, seen, sights)
    return replace(line, observation=replace(seen, also_accepted=(*seen.also_accepted, *more)))


def _line(kb, scheme, visit, margins, behind):
    """A line; what a liquid does not show is not ruled out where it stayed behind as a solid."""
    test = visit.test
    seen = observation(kb, scheme, test, "", visit.sights) if visit.done else None
    if seen:
        seen = _weighed(kb, test, seen, margins)
    if seen and test.portion != "solid":
        seen = replace(seen, rules_out=tuple(ion for ion in seen.rules_out if ion not in behind))
    return Line(test.id, test.stage, visit.title, visit.done, visit.why_not, seen, test.cautions)


def _weighed(kb, test, seen, margins):
    """The observation with what was calculated; near a limit that nobody has settled it is marginal."""
    looked_at = {facet for facet, _outcome in seen.seen}
    found = [
        (facet, step, ion, margin)
        for (at, facet, step), here in margins.items()
        if at == test.id and facet in looked_at
        for ion, margin in here.items()
    ]
    doubts = [
        f"{ion}: {margin.note}"
        for at, facet, _step, ion, margin in near(kb, margins)
        if at == test.id and facet in looked_at
    ]
    return replace(
        seen,
        margin="marginal" if doubts else seen.margin,
        remarks=(*seen.remarks, *dict.fromkeys(doubts)),
        equilibria=tuple(_numbers(*item) for item in found),
    )


def _numbers(facet, step, ion, margin):
    """One calculated result for the JSON: how much of the ion falls, and how far from the limit."""
    return {
        "facet": facet,
        "step": step,
        "ion": ion,
        "state": margin.state,
        "fraction": round(margin.fraction, 4),
        "saturation_index": round(margin.saturation_index, 2),
        "solid": margin.solid,
        "complex": margin.complex,
        "complex_fraction": round(margin.complex_fraction, 4),
        "note": margin.note,
    }
