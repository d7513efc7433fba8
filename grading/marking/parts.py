"""The parts of a record that get marks, each with what the program suggests; as stored beside the record."""

import hashlib
import json
from dataclasses import asdict, dataclass, field

RESULT = "result"
KINDS = ("observation", "inference", "cation", "anion")


@dataclass(frozen=True)
class Part:
    """One thing that gets a mark: its place in the record, its steps, the suggestion with its reason."""

    key: str  # "flame.observation", "result.cation"
    test: str  # "result" for the result
    kind: str
    stage: str
    out_of: int
    steps: int
    reason: str
    read: str = ""
    sure: bool = True
    carried: bool = False
    doubts: tuple[str, ...] = ()
    written: str = ""
    other: tuple = ()  # (steps, reason) of what another reading would earn, where it is not sure

    @property
    def stamp(self):
        """Says whether an award still speaks about the same words and the same suggestion."""
        said = json.dumps([self.key, self.written, self.out_of, self.steps, self.sure])
        return hashlib.sha256(said.encode()).hexdigest()[:16]


@dataclass(frozen=True)
class Suggestions:
    """What the program suggests for a record, with the editions and the mark scheme that it used."""

    parts: tuple[Part, ...]
    edition: str  # of the frozen expected record
    read_with: str  # of the knowledge base that the words were read with
    mark_scheme: str
    step_marks: str
    caps: dict = field(default_factory=dict, hash=False)  # stage -> most steps of its lines together
    matters: tuple[dict, ...] = field(default=(), hash=False)  # what does not go together, for the examiner

    @property
    def out_of(self):
        """Full marks, in steps; no stage gives more than its cap."""
        return sum(per_stage(((part.stage, part.out_of) for part in self.parts), self.caps).values())

    @property
    def steps(self):
        """The suggested steps of the whole record, by the same rule."""
        return sum(per_stage(((part.stage, part.steps) for part in self.parts), self.caps).values())

    def given(self, steps):
        """{stage: steps} of marks given, `steps` by the key of their part; by the same rule."""
        return per_stage(((part.stage, steps.get(part.key, 0)) for part in self.parts), self.caps)

    def full_stages(self, steps):
        """(stage, cap) where the marks given come to more than the cap lets count."""
        sums = per_stage(((part.stage, steps.get(part.key, 0)) for part in self.parts), {})
        return [(stage, cap) for stage, cap in self.caps.items() if sums.get(stage, 0) > cap]

    @property
    def unsure(self):
        """The parts that a person must look at first."""
        return tuple(part for part in self.parts if not part.sure)

    @property
    def digest(self):
        """Changes with any word, any suggestion and any edition."""
        return hashlib.sha256(json.dumps(self.as_json(), sort_keys=True).encode()).hexdigest()[:16]

    def part(self, key):
        """The part with this key, or None."""
        return next((part for part in self.parts if part.key == key), None)

    def as_json(self):
        """What is stored; the counts are there for lists that do not open every record."""
        return {
            "parts": [asdict(part) | {"doubts": list(part.doubts)} for part in self.parts],
            "edition": self.edition,
            "read_with": self.read_with,
            "mark_scheme": self.mark_scheme,
            "step_marks": self.step_marks,
            "out_of": self.out_of,
            "unsure": len(self.unsure),
            "caps": self.caps,
            "matters": list(self.matters),
        }


def per_stage(pairs, caps):
    """{stage: steps} of (stage, steps) pairs, no stage above its cap: how marks are added up everywhere.

    >>> per_stage([("dry", 6), ("dry", 4), ("wet", 3)], {"dry": 8})
    {'dry': 8, 'wet': 3}
    """
    sums = {}
    for stage, steps in pairs:
        sums[stage] = sums.get(stage, 0) + steps
    return {stage: min(steps, caps.get(stage, steps)) for stage, steps in sums.items()}


def stored(document):
    """The suggestions that were stored with a record; None where nothing has been written yet."""
    if not document:
        return None
    parts = tuple(map(_stored_part, document["parts"]))
    told = (document[key] for key in ("edition", "read_with", "mark_scheme", "step_marks"))
    return Suggestions(parts, *told, document.get("caps", {}), tuple(document.get("matters", ())))


def _stored_part(part):
    other = tuple(map(tuple, part.get("other", ())))
    return Part(**part | {"doubts": tuple(part["doubts"]), "other": other})


def split(paper, marking, expected, lines, result):
    """The parts of a scored paper that get marks, in the order of the record; `marking` is its mark scheme,
    `lines` as they were scored."""
    stages = {line["test"]: line["stage"] for line in expected["lines"]}
    found = []
    for score, words in zip(paper.lines, lines, strict=True):
        found += _of_line(score, words, stages[score.test], marking)
    for score in paper.results:
        words = result.get(score.kind, "")
        marks = (score.steps, score.out_of)
        found.append(_part(RESULT, score.key, RESULT, score.award, marks, words, marking))
    return tuple(part for part in found if part.out_of)


def _of_line(score, words, stage, marking):
    awards = (score.observation, score.inference)
    for kind, award, *marks in zip(KINDS, awards, score.steps, score.out_of, strict=False):
        yield _part(score.test, kind, stage, award, marks, words[kind], marking)


def _part(test, kind, stage, award, marks, written, marking):
    steps, out_of = marks
    other = () if award.sure else [(marking.steps(share, out_of), reason) for share, reason in award.other]
    return Part(
        key=f"{test}.{kind}",
        test=test,
        kind=kind,
        stage=stage,
        out_of=out_of,
        steps=steps,
        reason=award.reason,
        read=award.read,
        sure=award.sure,
        carried=award.carried,
        doubts=tuple(award.why),
        written=written,
        other=tuple(each for each in other if each[0] != steps),
    )
