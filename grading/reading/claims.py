"""What an inference claims: ions, groups and gases, each with how firmly it was said."""

from dataclasses import dataclass

from grading.reading.words_read import WordsRead

OWN_GROUP = "*"  # "group absent": that of the test


@dataclass(frozen=True)
class Claim:
    """Ions named together by one word: one ion, the ions of a salt, those that share a name, or a group."""

    ions: tuple[str, ...]
    firmness: str = "maybe"
    group: str = ""
    salt: bool = False
    gas: str = ""  # a gas says less than an ion; an ion's formula may be a gas, too
    family: bool = False  # several ions that go by one word ("halide")
    unnamed: bool = False  # nothing was named: it is said of what the test is for
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
    by_words: tuple[Claim, ...] = ()  # the claims as the words alone give them, where that is not the same
    harmless: tuple[str, ...] = ()  # unread words that can neither name an ion nor deny one
    undecided: tuple[str, ...] = ()  # "present or absent": says nothing of what it is said of

    @property
    def unclear_words(self):
        """The unread words that might say something of ions; all of them where nothing was named."""
        return tuple(word for word in self.unread_words if not self.claims or word not in self.harmless)

    def in_words(self):
        """What was understood, in plain words."""
        return "; ".join(claim.in_words() for claim in self.claims)


def contradictions(claims):
    """The same ion or group named as present and as absent."""
    there = {name for claim in claims if not claim.absent for name in _names(claim)}
    gone = {name for claim in claims if claim.absent for name in _names(claim)}
    return tuple(f"says that {name} is present and that it is absent" for name in sorted(there & gone))


def _names(claim):
    return (f"group {claim.group}",) if claim.group else claim.ions


def settled(claims):
    """The claims without a shared name beside one of its own ions: "iron, in the ferric state"."""
    alone = {(claim.ions, claim.absent) for claim in claims if len(claim.ions) == 1}
    return tuple(claim for claim in claims if not _told_closer(claim, alone))


def _told_closer(claim, alone):
    shared = len(claim.ions) > 1 and not (claim.salt or claim.family)
    return shared and any(((ion,), claim.absent) in alone for ion in claim.ions)
