"""What became of the words of a text: read, passed over, guessed, or left for a person."""

from dataclasses import dataclass


@dataclass(frozen=True)
class WordsRead:
    """A text and its spans; `unread` ones go to a person, `fuzzy` pairs were guessed."""

    text: str
    read: tuple[tuple[int, int], ...] = ()
    filler: tuple[tuple[int, int], ...] = ()
    unread: tuple[tuple[int, int], ...] = ()
    fuzzy: tuple[tuple[str, str], ...] = ()
    doubts: tuple[str, ...] = ()
    aimed: tuple[str, ...] = ()  # what speaks to the marker

    @property
    def blank(self):
        """Whether nothing was written."""
        return not self.text.strip()

    @property
    def sure(self):
        """Whether every word was understood without guessing or contradiction."""
        return not (self.unread or self.fuzzy or self.doubts or self.aimed)

    @property
    def unread_words(self):
        """The words that were not understood."""
        return tuple(self.text[start:end] for start, end in self.unread)

    @property
    def unclear_words(self):
        """The unread words that a person must see."""
        return self.unread_words

    def why_unsure(self):
        """Reasons for a person to look, each a phrase."""
        reasons = [f"could not read “{word}”" for word in self.unclear_words]
        reasons += [f"took “{written}” for “{meant}”" for written, meant in self.fuzzy]
        reasons += [f"“{words}” speaks to the marker" for words in self.aimed]
        return [*reasons, *self.doubts]
