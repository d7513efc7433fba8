"""An inference as written: which ions and groups are named, and how firmly; salts give both their ions."""

from dataclasses import dataclass, field
from functools import lru_cache

from grading.reading.chunks import chunks
from grading.reading.ions import ion_table, ions_of
from grading.reading.lexicon import AIMED
from grading.reading.words_read import WordsRead

KEPT = 8_192  # readings: candidates write the same short inferences again and again
FIRM = ("maybe", "present", "absent", "confirmed")
HOLDS_ON = (":", "(")
OWN_GROUP = "*"  # "group absent": that of the test
ENDS = (",", ".", ";", ")")
NAMES = ("ion", "formula", "family", "numeral", "group-sign", "group-name", "gas")


@dataclass(frozen=True)
class Claim:
    """Ions named together by one word: one ion, the ions of a salt, those that share a name, or a group."""

    ions: tuple[str, ...]
    firmness: str = "maybe"
    group: str = ""
    salt: bool = False
    gas: str = ""  # a gas says less than an ion; an ion's formula may be a gas, too
    family: bool = False  # several ions that go by one word ("halide")
    written: str = ""
    span: tuple[int, int] = (0, 0)

    @property
    def absent(self):
        """Whether it says that they are not there."""
        return self.firmness == "absent"

    def in_words(self):
        """The claim in plain words."""
        what = (" and " if self.salt else " or ").join(self.ions) or self.gas
        if self.group:
            what = "the group of this test" if self.group == OWN_GROUP else f"group {self.group}"
        return f"{what} {'may be present' if self.firmness == 'maybe' else self.firmness}"


@dataclass(frozen=True)
class InferenceReading(WordsRead):
    """An inference as read: claims in order."""

    claims: tuple[Claim, ...] = ()

    def in_words(self):
        """What was understood, in plain words."""
        return "; ".join(claim.in_words() for claim in self.claims)


def read_inference(words, ions, text):
    """The ions and groups that a candidate names. Never raises: what cannot be read is in `unread`.

    `words` is the lexicon, `ions` the records of the ions of the knowledge base by formula.
    """
    return _read(words, tuple(ions.values()), text or "")


@lru_cache(maxsize=KEPT)
def _read(words, known, text):
    found = chunks(words, ion_table(words, known), text)
    reader = _Reader(words, known, found)
    reader.run()
    claims = tuple(reader.claims())
    return InferenceReading(
        text=text,
        claims=claims,
        read=_spans(found, reader.used, True),
        filler=tuple((c.start, c.end) for c in found if c.kind != "unread" and c.start not in reader.used),
        unread=tuple((c.start, c.end) for c in found if c.kind == "unread"),
        fuzzy=tuple(pair for chunk in found for pair in chunk.guessed),
        aimed=tuple(chunk.written for chunk in found if chunk.kind == AIMED),
        doubts=(*reader.left_open(claims), *_contradictions(claims)),
    )


def _spans(found, used, wanted):
    return tuple((c.start, c.end) for c in found if c.kind != "unread" and (c.start in used) == wanted)


def _contradictions(claims):
    """The same ion or group named as present and as absent."""
    there = {name for claim in claims if not claim.absent for name in _names(claim)}
    gone = {name for claim in claims if claim.absent for name in _names(claim)}
    return tuple(f"says that {name} is present and that it is absent" for name in sorted(there & gone))


def _names(claim):
    return (f"group {claim.group}",) if claim.group else claim.ions


@dataclass
class _Named:
    ions: tuple
    group: str
    salt: bool
    chunk: object
    firmness: str | None = None
    gas: str = ""


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
    sign: object = None  # the word "group" while no numeral has come

    def run(self):
        """Read everything."""
        for index, chunk in enumerate(self.found):
            handler = getattr(self, f"_on_{chunk.kind.replace('-', '_')}", None)
            if handler:
                handler(chunk, index)
            elif chunk.written in HOLDS_ON and self.just_said:
                self.ahead = self.just_said
            elif chunk.written == "(" and self._explains(index):
                self.ahead = self.named[-1].firmness
            elif chunk.written == "(" and self._names_inside(index):
                self._stop()  # "K+ (NH4+ ruled out)": what is said inside is said of what stands inside
            if chunk.written in ENDS:
                self.planned = False
            if chunk.kind not in ("filler",):
                self.just_said = self.just_said if chunk.kind == "inference" else None
        self._own_group()

    def _explains(self, index):
        """Whether the brackets that open here follow a family: "no halide (Cl-, Br-)"."""
        return index > 0 and self.found[index - 1].kind == "family" and bool(self.named)

    def _names_inside(self, index):
        """Whether an ion is named in the brackets that open here."""
        for chunk in self.found[index + 1 :]:
            if chunk.written == ")":
                return False
            if chunk.kind in NAMES:
                return True
        return False

    def claims(self):
        """The names with their firmness; one that none was said of may be present."""
        for name in self.named:
            span = (name.chunk.start, name.chunk.end)
            written = name.chunk.written
            family = name.chunk.kind == "family"
            yield Claim(
                name.ions, name.firmness or "maybe", name.group, name.salt, name.gas, family, written, span
            )

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
        self._name(dict.fromkeys(entry.means for entry in chunk.entries if entry.kind == "ion"), chunk)
        if self._salt_by_name():
            first, second = self.named.pop(-2), self.named[-1]
            second.salt, second.firmness = True, first.firmness
            second.ions = (*first.ions, *second.ions)
        self.signed = False

    def _salt_by_name(self):
        """Whether the last two names stand side by side and make a salt: "nickel chloride"."""
        if len(self.named) < 2:
            return False
        first, second = self.named[-2:]
        between = [c for c in self.found if first.chunk.end <= c.start < second.chunk.start]
        kinds = [
            {ion.charge > 0 for ion in self.known if ion.formula in name.ions} for name in (first, second)
        ]
        plain = not any(character in name.chunk.written for name in (first, second) for character in "+-")
        return plain and not between and not first.salt and kinds == [{True}, {False}]

    def _on_formula(self, chunk, index):
        ions = ions_of(chunk.entry.means, self.known)
        if ions:
            self._name(ions, chunk, salt=True)
        self.used.add(chunk.start)

    def _on_family(self, chunk, index):
        self._name(chunk.entry.means.split(), chunk)

    def _on_group_sign(self, chunk, index):
        after_numeral = index > 0 and self.found[index - 1].kind == "numeral"
        self.signed, self.sign = True, None if after_numeral else chunk
        self.used.add(chunk.start)

    def _on_group_name(self, chunk, index):
        self._name((), chunk, group=chunk.entry.means)

    def _on_numeral(self, chunk, index):
        if self.signed or self._sign_follows(index):
            self.sign = None
            self._name((), chunk, group=chunk.entry.means)

    def _sign_follows(self, index):
        rest = [c for c in self.found[index + 1 : index + 3] if c.written not in (",", "and", "&", "-")]
        return any(c.kind == "group-sign" for c in rest)

    def _on_inference(self, chunk, index):
        means = chunk.entry.means
        self.used.add(chunk.start)
        if means == "none" and chunk.written[0].isalpha() and self._named_next(index):
            means = "not"  # "nothing in this group", "nil halide"
        if means == "doubt":
            self.doubts.append(f"“{chunk.written}” leaves it open")
        elif means == "hedge":
            self.hedges.append(chunk.written)
        elif means == "plan":
            self._stop()
            self.planned = True
        elif means == "stop":
            self._stop()
        elif means == "not":
            if self._closes(index):
                self._firm("absent")  # "Zn2+ and Pb2+ not"
            else:
                self.ahead, self.just_said = "absent", "absent"
        elif means in FIRM:
            self._firm(means)
        if means in ("filler", "either"):
            self.used.discard(chunk.start)

    def _named_next(self, index):
        """Whether a name follows with nothing between that stops or joins."""
        for chunk in self.found[index + 1 :]:
            if chunk.kind in NAMES:
                return True
            if chunk.kind != "filler" or chunk.written in ENDS:
                return False
        return False

    def _closes(self, index):
        """Whether nothing follows that could be denied, and names wait before it."""
        if not any(name.firmness is None for name in self.named):
            return False
        for chunk in self.found[index + 1 :]:
            if chunk.kind in NAMES:
                return False
            if chunk.written in ENDS:
                return True
        return True

    def _firm(self, means):
        """A word of firmness: for the names before it, or, where none waits, for those that follow."""
        if self.sign is not None:
            self._name((), self.sign, group=OWN_GROUP)
            self.sign = None
        waiting = [name for name in self.named if name.firmness is None]
        self.just_said = means
        if waiting:
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
