"""One line of a record: its observation and its inference, judged together."""

from dataclasses import dataclass, replace
from functools import partial

from grading.reading.chosen import reading_of_choice, reading_of_stored
from grading.reading.drawn import drawn_in
from grading.reading.findings import Reading
from grading.reading.inference import read_inference
from grading.reading.observation import read_observation
from grading.scoring.basis import Basis
from grading.scoring.doubts import as_chosen, read_twice
from grading.scoring.inferred import judge_inference
from grading.scoring.judge import FULL, NIL, Award
from grading.scoring.observed import judge_observation
from grading.scoring.own import Own, own_inference, ruled_out_beyond
from grading.scoring.parts import WEAK
from grading.scoring.suits import may_show
from grading.scoring.told_gas import gases_of
from grading.scoring.verdicts import verdict_on

WITHIN = "the inference stands with the observation"
MANY = 4  # so many ions beside alternatives are a list
UNTOLD_SIGHT = "nothing that was written says what was seen"


@dataclass(frozen=True)
class LineScore:
    """The awards of one line, in shares and in steps of the mark scheme."""

    test: str
    observation: Award
    inference: Award
    steps: tuple[int, int]
    out_of: tuple[int, int]
    own: Own
    reading: Reading | None = None
    stage: str = ""
    wrong: frozenset = frozenset()  # ions wrongly named in the inference

    def cut_to(self, steps):
        """The line with fewer steps, since its stage has reached the cap."""
        note = " The cap of this stage is reached."
        seen = replace(self.observation, reason=self.observation.reason + note * (steps[0] < self.steps[0]))
        drawn = replace(self.inference, reason=self.inference.reason + note * (steps[1] < self.steps[1]))
        return replace(self, observation=seen, inference=drawn, steps=steps)

    def forgiven(self, marking):
        """The line with its inference in full: the same error has cost marks before."""
        reason = f"{self.inference.reason} The same error has cost marks before and costs no more."
        steps = (self.steps[0], marking.steps(FULL, self.out_of[1]))
        return replace(self, inference=replace(self.inference, share=FULL, reason=reason), steps=steps)

    def as_json(self):
        """The line as the JSON of `mark` has it."""
        seen, drawn = self.observation, self.inference
        return {
            "test": self.test,
            "observation": {
                "fraction": seen.fraction,
                "reason": seen.reason,
                "read": seen.read,
                "sure": seen.sure,
                "readings": seen.readings,
            },
            "inference": {
                "fraction": drawn.fraction,
                "reason": drawn.reason,
                "carried": drawn.carried,
                "sure": drawn.sure,
                "readings": drawn.readings,
            },
        }

    @property
    def why(self):
        """What a person should look at, each a phrase."""
        return (
            *(f"observation: {w}" for w in self.observation.why),
            *(f"inference: {w}" for w in self.inference.why),
        )


def score_line(judge, expected, present, observation, inference, carry=True, elsewhere=(), chosen=()):
    """The awards of one line: `expected` is the frozen line, `present` the ions of the specimen.

    `carry` is False where the mark scheme lets no further error be carried forward; `elsewhere` holds what
    the specimen shows in its other tests; `chosen` are the stored outcomes whose words the observation is.
    """
    if not expected["done"]:
        return _not_asked(expected, observation, inference)
    reading = read_observation(judge.words, observation)
    within = "" if inference.strip() else drawn_in(judge.words, judge.kb.ions, observation)
    claims = read_inference(judge.words, judge.kb.ions, inference if not within else within)
    basis = _basis(judge, expected, present)
    beyond = ruled_out_beyond(judge, expected, claims) if basis.rules_out else ()
    if beyond:
        basis = replace(basis, rules_out=basis.rules_out | beyond)
    if reading.blank and _goes_without_saying(judge, basis, claims):
        reading = reading_of_choice([{"event": "none"}])
    seen = judge_observation(judge, expected, reading, elsewhere, present)
    again = partial(judge_observation, judge, expected, elsewhere=elsewhere, present=present)
    seen = _gas_in_inference(read_twice(judge, seen, reading, again), reading, basis, claims)
    outcomes = reading_of_stored(observation, chosen)
    if outcomes is not None:
        seen = as_chosen(seen, again(outcomes))
    own = own_inference(judge, expected["test"], reading, claims)
    own_basis = _own_basis(basis, own, reading)
    basis = replace(basis, suits=own.suits)
    if own_basis and _is_exact(own, basis, seen):
        usual = partial(_as_expected, judge, expected, reading, elsewhere, present)
        own_basis = replace(own_basis, exact=own.points_to == basis.points_to or usual())
    judged = replace(seen, blank=True) if _lists_all(reading, seen, claims) else seen
    drawn = judge_inference(judge, basis, own_basis, claims, judged, carry, _understood(reading, seen))
    if within and drawn.share:
        nothing = ((NIL, "If what stands with the observation does not count."),)
        drawn = replace(drawn, why=(*drawn.why, WITHIN), other=drawn.other or nothing)
    out_of = judge.marking.steps_of(expected["test"], expected["stage"])
    out_of = (out_of[0], out_of[1] if drawn.counts else 0)
    steps = (judge.marking.steps(seen.share, out_of[0]), judge.marking.steps(drawn.share, out_of[1]))
    if seen.share == FULL and seen.sure and not expected.get("also_accepted"):
        # what is right says what the right observation says
        own = Own(basis.points_to, basis.rules_out)
    wrong = frozenset(
        ion for claim in claims.claims if not (claim.absent or claim.family) for ion in claim.ions
    ) - set(present)
    return LineScore(expected["test"], seen, drawn, steps, out_of, own, reading, expected["stage"], wrong)


def _lists_all(reading, seen, claims):
    """Whether what was seen is told as alternatives, none of them right, and as many ions beside them."""
    if reading.either:
        return _stroked(claims.text)
    told = {word for f in reading.findings if not (f.negated or f.before or f.step) for word in f.colours}
    named = [claim for claim in claims.claims if claim.ions and not (claim.absent or claim.salt)]
    many = len(named) >= MANY or len(told) > 1 and len(named) >= max(len(told), 3)
    return not seen.share and _stroked(reading.text) and many


def _stroked(text):
    return "/" in text or " or " in text


def _understood(reading, seen):
    """Whether what was seen was told in words that were read, or in none: else only a person can tell."""
    told = seen.share or reading.blank or reading.aimed or reading.either
    if told or not any(map(str.isalpha, reading.text)):
        return True
    if reading.unread and not reading.doubts:
        return False
    return seen.why != (UNTOLD_SIGHT,)


def _is_exact(own, basis, seen):
    """Whether what was seen is wholly right, and the own words point to the same, if to anything."""
    alike = not own.points_to or bool(own.points_to & basis.points_to)
    return seen.share == FULL and seen.sure and alike


def _as_expected(judge, expected, reading, elsewhere, present):
    """Whether it is what the specimen usually shows, and not only something else that is accepted."""
    if not expected.get("also_accepted"):
        return True
    usual = {key: value for key, value in expected.items() if key != "also_accepted"}
    return judge_observation(judge, usual, reading, elsewhere, present).share == FULL


def _gas_in_inference(seen, reading, basis, claims):
    """The award where smell and paper are told, and the inference names the gas that they leave open."""
    named = any(claim.gas in basis.gases for claim in claims.claims if claim.gas and not claim.absent)
    signs = any(finding.smell for finding in reading.findings) and any(f.effect for f in reading.findings)
    if not (named and signs) or seen.why != (WEAK["gas"],) or not seen.share:
        return seen
    return replace(seen, share=FULL, other=((seen.share, seen.reason),))


def _goes_without_saying(judge, basis, claims):
    """Whether the scheme does not ask for "nothing seen", and the inference says rightly what it says."""
    if judge.marking.observation["nothing_needed"] or basis.seen or not claims.claims:
        return False
    return verdict_on(judge, basis, claims.claims).share == FULL


def _basis(judge, expected, present):
    options = (expected["seen"], *(other["seen"] for other in expected.get("also_accepted", ())))
    return Basis(
        frozenset(expected["points_to"]),
        frozenset(expected["rules_out"]),
        frozenset(present),
        _group(judge, expected["test"]),
        any(item["event"] != "none" for item in expected["seen"]),
        frozenset(item["gas"] for seen in options for item in seen if item.get("gas")),
        may_show=may_show(judge.kb, expected["test"]),
        numerals=judge.numerals_of(expected["test"]),
        its_gases=frozenset(
            gas for ion in expected["points_to"] if ion in present for gas in gases_of(judge.kb, ion)
        ),
    )


def _own_basis(basis, own, reading):
    """The candidate's own basis, or None where nothing was read."""
    if reading.blank or not (own.says or own.suits):
        return None
    gases = {gas for finding in reading.findings for gas in (finding.gas, finding.smells_of) if gas}
    return Basis(
        own.points_to,
        own.rules_out,
        basis.present,
        basis.group,
        bool(own.points_to),
        basis.gases | gases,
        own.roughly,
        suits=own.suits,
        may_show=basis.may_show,
        numerals=basis.numerals,
    )


def _group(judge, test_id):
    stage = judge.stage_of(test_id)
    return stage.group if stage else ""


def _not_asked(expected, observation, inference):
    """A test that is not to be done with this specimen costs nothing, whatever was written."""
    why = expected.get("why_not") or expected["text"]
    nothing = Award(NIL, f"Not asked for with this specimen ({why}); not counted.", counts=False)
    return LineScore(expected["test"], nothing, nothing, (0, 0), (0, 0), Own())


def unknown_line(test, observation, inference):
    """A line whose test the expected record does not have: a person must look."""
    why = ("the scheme has no such test",) if (observation or inference or "").strip() else ()
    nothing = Award(NIL, f"The scheme has no test '{test}'; not counted.", why=why, counts=False)
    return LineScore(test, nothing, nothing, (0, 0), (0, 0), Own())
