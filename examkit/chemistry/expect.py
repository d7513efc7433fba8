"""`expect`: the whole expected record of a specimen, line by line through a scheme."""

from dataclasses import dataclass

from examkit.chemistry.bench import walk
from examkit.chemistry.observe import Observation, find_scheme, observation
from examkit.chemistry.specimen import Specimen


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
    """The expected record of `specimen`."""
    scheme = find_scheme(kb, scheme_key)
    lines = tuple(_line(kb, scheme, specimen, visit) for visit in walk(kb, scheme, specimen))
    return Record(specimen, scheme.key, kb.edition, lines)


def _line(kb, scheme, specimen, visit):
    test = visit.test
    seen = observation(kb, scheme, test, "", visit.sights) if visit.done else None
    return Line(test.id, test.stage, test.title, visit.done, visit.why_not, seen, test.cautions)
