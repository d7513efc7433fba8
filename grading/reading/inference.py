"""An inference as written: which ions and groups are named, and how firmly; salts give both their ions."""

from dataclasses import dataclass, field
from functools import lru_cache

from grading.reading import around
from grading.reading.around import ENDS, FIRM, HOLDS_ON, OPEN
from grading.reading.chunks import chunks
from grading.reading.claims import OWN_GROUP, Claim, InferenceReading, contradictions, settled
from grading.reading.ions import ion_table, ions_of
from grading.reading.lexicon import AIMED
from grading.reading.polarity import by_words
from grading.reading.strange import harmless

HENCE = "hence"
KEPT = 8_192  # readings: candidates write the same short inferences again and again


def read_inference(words, ions, text):
    """The ions and groups that a candidate names. Never raises: what cannot be read is in `unread`.

    `words` is the lexicon, `ions` the records of the ions of the knowledge base by formula.
    """
    return _read(words, tuple(ions.values()), text or "")


@lru_cache(maxsize=KEPT)
def _read(words, known, text):
    table = ion_table(words, known)
    found = chunks(words, table, text)
    reader = _Reader(words, known, found)
    reader.run()
    claims = reader.of_this_test(settled(tuple(reader.claims())))
    return InferenceReading(
        text=text,
        claims=claims,
        read=_spans(found, reader.used, True),
        filler=tuple((c.start, c.end) for c in found if c.kind != "unread" and c.start not in reader.used),
        unread=tuple((c.start, c.end) for c in found if c.kind == "unread"),
        fuzzy=tuple(pair for chunk in found for pair in chunk.guessed),
        aimed=tuple(chunk.written for chunk in found if chunk.kind == AIMED),
        doubts=(*reader.left_open(claims), *contradictions(claims)),
        undecided=tuple(reader.undecided),
        by_words=by_words(found, claims),
        harmless=tuple(c.written for c in found if c.kind == "unread" and harmless(table, c.written)),
    )


def _spans(found, used, wanted):
    return tuple((c.start, c.end) for c in found if c.kind != "unread" and (c.start in used) == wanted)


@dataclass
class _Named:
    ions: tuple
    group: str
    salt: bool
    chunk: object
    firmness: str | None = None
    gas: str = ""
    family: bool = False


@dataclass
class _Reader:
    """Takes names and words of firmness from left to right; a word of firmness closes the names before it."""

    words: object
    known: tuple
    found: list
    named: list = field(default_factory=list)
    doubts: list = field(default_factory=list)
    used: set = field(default_factory=set)
    hedges: list = field(default_factory=list)
    ahead: str | None = None  # firmness said before the names: "may be Ni2+"
    just_said: str | None = None
    signed: bool = False  # "group" was said: numerals that follow are groups
    planned: bool = False  # what follows is tried next: "move on to group II"
    passed_on: bool = False  # what comes next was told
    spoken: str = ""  # the last firmness that was said, of whatever
    sign: object = None  # the word "group" while no numeral has come
    gathering: bool = False  # "group of" was said: the ions that follow stand for their group
    firmed: list = field(default_factory=list)  # the names that the last word of firmness was said of
    undecided: list = field(default_factory=list)  # "present or absent"

    def run(self):
        """Read everything."""
        for index, chunk in enumerate(self.found):
            handler = getattr(self, f"_on_{chunk.kind.replace('-', '_')}", None)
            if handler:
                handler(chunk, index)
            elif chunk.written in HOLDS_ON and self.just_said:
                self.ahead = self.just_said
            elif chunk.written in HOLDS_ON and self._explains(index):
                self.ahead = self.named[-1].firmness
            elif chunk.written == "(" and self._says_inside(index):
                self._stop()  # "K+ (NH4+ ruled out)": what is said inside is said of what stands inside
            if chunk.written in ENDS:
                self.planned = False
            if chunk.kind not in ("ion", "filler", "group-sign") and not around.joins(chunk):
                self.gathering = False
            if chunk.kind not in ("filler",):
                self.just_said = self.just_said if chunk.kind == "inference" else None
        self._own_group()

    def _explains(self, index):
        """Whether the brackets that open here follow a family: "no halide (Cl-, Br-)"."""
        return index > 0 and self.found[index - 1].kind == "family" and bool(self.named)

    def _says_inside(self, index):
        """Whether the brackets that open here are a statement of their own, not a group's ions."""
        named, firm = around.inside(self.found, index)
        return named and (firm or not (self.named and self.named[-1].group))

    def claims(self):
        """The names with their firmness; one that none was said of may be present."""
        for name in self.named:
            if name.firmness == OPEN:
                continue
            span = (name.chunk.start, name.chunk.end)
            written = name.chunk.written
            family = name.family or name.chunk.kind == "family"
            yield Claim(
                name.ions,
                name.firmness or "maybe",
                name.group,
                name.salt,
                name.gas,
                family,
                written=written,
                span=span,
            )

    def of_this_test(self, claims):
        """The group of the test, where only "absent" stands, or what comes next."""
        said = self.spoken or ("absent" if self.passed_on else "")
        if claims or self.undecided or not said or any(chunk.kind == "unread" for chunk in self.found):
            return claims
        return (Claim((), said, OWN_GROUP, unnamed=True),)

    def left_open(self, claims):
        """What leaves it open: a hedge does so only where nothing is named."""
        hedges = () if claims else self.hedges
        return (*self.doubts, *(f"“{written}” leaves it open" for written in hedges))

    def _name(self, ions, chunk, group="", salt=False):
        self.used.add(chunk.start)
        if self.planned:
            return
        gas = next((entry.means for entry in chunk.entries if entry.kind == "gas"), "")
        self.named.append(_Named(tuple(ions), group, salt, chunk, self.ahead, gas))

    def _on_gas(self, chunk, index):
        self._name((), chunk)

    def _on_ion(self, chunk, index):
        if self.signed and chunk.written.startswith("I") and not chunk.written[1:2].isalpha():
            self.sign = None  # "group I (-)": what looks like an ion is the numeral and a sign
            self._name((), chunk, group="I")
            self.named[-1].firmness = "absent"
            return
        self._name(dict.fromkeys(entry.means for entry in chunk.entries if entry.kind == "ion"), chunk)
        if len(self.named) > 1 and around.make_a_salt(self.found, self.known, *self.named[-2:]):
            first, second = self.named.pop(-2), self.named[-1]
            second.salt, second.firmness = True, first.firmness
            second.ions = (*first.ions, *second.ions)
        elif self.gathering and self.named:
            self._gather(2 if self.named[-2:-1] and self.named[-2].family else 1)
        self.signed = False

    def _gather(self, count):
        """The last names as one family: together they stand for their group."""
        names, self.named = self.named[-count:], self.named[:-count]
        ions = dict.fromkeys(ion for name in names for ion in name.ions)
        self.named.append(_Named(tuple(ions), "", False, names[0].chunk, names[0].firmness, family=True))

    def _on_formula(self, chunk, index):
        ions = ions_of(chunk.entry.means, self.known)
        if ions:
            self._name(ions, chunk, salt=True)
        self.used.add(chunk.start)

    def _on_salt(self, chunk, index):
        self._name(chunk.entry.means.split(), chunk, salt=True)

    def _on_family(self, chunk, index):
        self._name(chunk.entry.means.split(), chunk)

    def _on_group_sign(self, chunk, index):
        self.used.add(chunk.start)
        listed = around.listed_before(self.found, index)
        waiting = [name for name in self.named[-listed:] if name.firmness is None and not name.group]
        if listed and len(waiting) == listed:
            self._gather(listed)  # "Fe/Al/Cr group"
            return
        self.signed, self.sign = True, None if around.kind_at(self.found, index - 1) == "numeral" else chunk
        self.gathering = chunk.written.lower().endswith(" of")

    def _on_group_name(self, chunk, index):
        self._name((), chunk, group=chunk.entry.means)

    def _on_numeral(self, chunk, index):
        if self.signed or around.of_a_group(self.found, index):
            self.sign = None
            self._name((), chunk, group=chunk.entry.means)

    def _on_inference(self, chunk, index):
        means = chunk.entry.means
        self.used.add(chunk.start)
        if means == "none" and chunk.written[0].isalpha() and around.named_next(self.found, index):
            means = "not"  # "nothing in this group", "nil halide"
        if means == "none" and around.closing_dash(self.found, index):
            means = "absent"  # "NH4+ -"
        if means == "doubt":
            self.doubts.append(f"“{chunk.written}” leaves it open")
        elif means == "hedge":
            self.hedges.append(chunk.written)
        elif means == "plan":
            self._stop()
            self.planned = self.passed_on = True
        elif means == "next":
            self.named = [name for name in self.named if name.firmness or not name.group]
        elif means in ("stop", HENCE):
            self._stop()
        elif means == "not":
            waits = any(name.firmness is None for name in self.named)
            if waits and around.nothing_to_deny(self.found, index):
                self._firm("absent")  # "Zn2+ and Pb2+ not"
            else:
                self.ahead, self.just_said = "absent", "absent"
        elif means == OPEN or means in FIRM and around.either_way(self.found, index):
            self._leave_open(chunk)
        elif means in FIRM:
            self._firm(means)
        if means in ("filler", "either"):
            self.used.discard(chunk.start)

    def _leave_open(self, chunk):
        """What may be there or not says nothing."""
        waiting = [name for name in self.named if name.firmness is None]
        for name in waiting or self.firmed:
            name.firmness = OPEN
        self.undecided.append(chunk.written)

    def _firm(self, means):
        """A word of firmness: for the names before it, or, where none waits, for those that follow."""
        if self.sign is not None:
            self._name((), self.sign, group=OWN_GROUP)
            self.sign = None
        waiting = [name for name in self.named if name.firmness is None]
        self.just_said = self.spoken = means
        if waiting:
            self.firmed = waiting
            for name in waiting:
                name.firmness = means
        elif self.named and self.ahead is None and self.named[-1].firmness in ("maybe", "present", means):
            self.named[-1].firmness = means  # "present and confirmed": the last word counts
            self.ahead = means if means == "absent" else None
        else:
            self.ahead = means
        self.signed = False

    def _own_group(self):
        """ "nothing in this group": the group is denied, and no numeral came."""
        if self.sign is not None and self.ahead == "absent":
            self._name((), self.sign, group=OWN_GROUP)
            self.sign = None

    def _stop(self):
        self._own_group()
        for name in self.named:
            name.firmness = name.firmness or "maybe"
        self.ahead, self.signed, self.planned = None, False, False
