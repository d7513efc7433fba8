"""Tokens into chunks: the longest phrases of the vocabulary, colours put together, what is left over."""

import re
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from examkit.chemistry.errors import FormulaError
from examkit.chemistry.formula import parse
from grading.reading.lexicon import Entry, is_hyphen
from grading.reading.normalise import tokens
from grading.reading.spelling import corrected

COLOURFUL = ("colour", "shade", "tint")
SHOUT = 8  # from this length on, a text all in capitals says nothing by its capitals
LONGEST = 1_000  # characters that are read of one text
PASSED = Entry("filler", "")
NEGATED = "doesn't"
MISSPELT_NOT = re.compile(r"\w(?:n't|'nt|n'nt)$")  # "dosen't", "did'nt": whichever verb it is, it is denied


@dataclass(frozen=True)
class Chunk:
    """A stretch of the text with its possible meanings, the usual one first; none means unread."""

    entries: tuple[Entry, ...]
    start: int
    end: int
    written: str
    guessed: tuple[tuple[str, str], ...] = ()

    @cached_property
    def entry(self):
        """The usual meaning."""
        return self.entries[0] if self.entries else Entry("unread", self.written)

    @cached_property
    def kind(self):
        """The kind of the usual meaning."""
        return self.entry.kind

    def of(self, kind):
        """The chunk with only its meaning of this kind, or None."""
        fitting = tuple(entry for entry in self.entries if entry.kind == kind)
        return replace(self, entries=fitting) if fitting else None


def chunks(lexicon, table, text):
    """All chunks of a text in order; every letter and digit of the text is inside one.

    What stands beyond LONGEST characters is one unread chunk: a person looks at it.
    """
    read = text[:LONGEST]
    found = _chunks(lexicon, table, read)
    if len(text) > len(read):
        found.append(Chunk((), len(read), len(text), text[len(read) :]))
    return found


def _chunks(lexicon, table, text):
    found, pieces, at = [], _matchable(table, text), 0
    while at < len(pieces):
        chunk, used = _longest(table, pieces[at : at + table.longest], text)
        found.append(chunk)
        at += used
    return _coloured(lexicon, found)


@dataclass(frozen=True)
class Piece:
    """A token ready to be matched, with its corrected spelling where it had to be guessed."""

    norm: str
    written: str
    kind: str
    start: int
    end: int
    guessed: str = ""


def _matchable(table, text):
    """Tokens without hyphens inside words and without the full stops of abbreviations."""
    all_tokens, pieces = tokens(text), []
    for index, token in enumerate(all_tokens):
        if is_hyphen(token, text) or _abbreviating(table, all_tokens, index):
            continue
        pieces.append(_piece(table, token))
    return pieces


def _abbreviating(table, all_tokens, index):
    """Whether a full stop only ends an abbreviation."""
    token = all_tokens[index]
    before = all_tokens[index - 1] if index else None
    after = all_tokens[index + 1] if index + 1 < len(all_tokens) else None
    if token.written != "." or before is None or before.end != token.start:
        return False
    new_sentence = after is not None and after.kind == "word" and after.written[:1].isupper()
    return before.norm in table.abbreviations and not new_sentence


def _piece(table, token):
    guess = ""
    word = token.kind == "word" or (token.written.isalpha() and not _is_formula(token.written))
    if word and token.norm not in table.words and (token.written,) not in table.exact:
        guess = NEGATED if MISSPELT_NOT.search(token.norm) else corrected(table, token.norm) or ""
    return Piece(guess or token.norm, token.written, token.kind, token.start, token.end, guess)


def _longest(table, pieces, text):
    """The chunk of the longest phrase at the start of `pieces`, and how many pieces it takes."""
    first = pieces[0]
    reach = max(table.reach.get(first.norm, 1), table.reach.get(first.written, 1))
    if reach > 1 and len(pieces) > 1:
        pairs, second = _pairs(table), pieces[1]
        if (first.norm, second.norm) not in pairs and (first.written, second.written) not in pairs:
            reach = 1
    for size in range(min(reach, len(pieces)), 0, -1):
        part = pieces[:size]
        entries = table.exact.get(tuple(piece.written for piece in part), ())
        if entries and _shouted(part, text):
            entries = ()
        entries += table.phrases.get(tuple(piece.norm for piece in part), ())
        if entries:
            return _chunk(entries, part, text), size
    return _chunk(_unlisted(pieces[0]), pieces[:1], text), 1


@lru_cache(maxsize=16)
def _pairs(table):
    """The pairs of words that some longer phrase begins with."""
    return frozenset(key[:2] for key in (*table.phrases, *table.exact) if len(key) > 1)


def _shouted(part, text):
    """Whether capitals say nothing: all of a longer text is written in them."""
    return len(text) > SHOUT and all(piece.written.isalpha() for piece in part) and text.isupper()


def _chunk(entries, part, text):
    start, end = part[0].start, part[-1].end
    guessed = tuple((piece.written, piece.guessed) for piece in part if piece.guessed)
    return Chunk(tuple(entries), start, end, text[start:end], guessed)


def _unlisted(piece):
    """What a token is that stands in no list: a formula, a number, a mark, or unread."""
    if piece.kind == "formula" and _is_formula(piece.written):
        return (Entry("formula", piece.written),)
    if piece.kind in ("number", "mark"):
        return (PASSED,)
    if piece.kind == "newline":
        return (Entry("join", "stop"),)
    return ()


def _is_formula(written):
    try:
        parse(written)
    except FormulaError:
        return False
    return any(not character.isalpha() for character in written) or sum(map(str.isupper, written)) > 1


def _coloured(lexicon, found):
    """Runs of colour words put together: "dirty" + "green", "reddish" + "brown"."""
    result, run = [], []
    for chunk in [*_in_one_breath(lexicon, found), None]:
        if chunk is not None and chunk.kind in COLOURFUL:
            run.append(chunk)
            continue
        result += _mixed(lexicon, run)
        run = []
        if chunk is not None:
            result.append(chunk)
    return result


def _in_one_breath(lexicon, found):
    """The chunks without the stroke between two colours that make a third ("red/brown")."""
    strokes = [index for index, chunk in enumerate(found) if chunk.written == "/"]
    for index in strokes[::-1]:
        before, after = found[max(index - 1, 0)], found[min(index + 1, len(found) - 1)]
        tight = before.end == found[index].start and found[index].end == after.start
        alone = index - 2 not in strokes and index + 2 not in strokes
        if tight and alone and before.kind == after.kind == "colour" and _known(lexicon, [before, after]):
            found = [*found[:index], *found[index + 1 :]]
    return found


def _mixed(lexicon, run):
    """One run of colour words as chunks: each ends with a colour and takes the shades before it."""
    result, waiting = [], []
    for index, chunk in enumerate(run):
        following = run[index + 1] if index + 1 < len(run) else None
        if following is not None and chunk.kind == "colour" and chunk.entry.means in lexicon.no_colour:
            result.append(_joined([chunk], None))  # "clear green": seen through, not without colour
            continue
        waiting.append(chunk)
        pair = following is not None and following.kind == "colour" and _known(lexicon, [*waiting, following])
        if chunk.kind == "colour" and not pair:
            result.append(_joined(waiting, _compose(lexicon, waiting)))
            waiting = []
    if waiting:
        result.append(_joined(waiting, _compose(lexicon, waiting)))
    return result


def _joined(parts, meaning):
    entries = (Entry("colour", meaning),) if meaning else (PASSED,)
    guessed = tuple(pair for part in parts for pair in part.guessed)
    return Chunk(entries, parts[0].start, parts[-1].end, " ".join(p.written for p in parts), guessed)


def _known(lexicon, parts):
    """The word of the knowledge base that these parts make as they stand, or with the first as a tint."""
    words = [part.entry.means for part in parts]
    tints = {colour: tint for tint, colour in lexicon.tints.items()}
    tinted = [*(tints.get(word, word) for word in words[:-1]), words[-1]]
    known = next((" ".join(w) for w in (words, tinted) if " ".join(w) in lexicon.colours), None)
    return known or next((found for w in (words, tinted) if (found := _called(lexicon, w))), None)


def _called(lexicon, words):
    """The colour that goes by these words, too: "pinkish purple"."""
    entries = lexicon.observation.phrases.get(tuple(" ".join(words).split()), ())
    return entries[0].means if entries and entries[0].kind == "colour" else None


def _compose(lexicon, parts):
    """The nearest word for a run: as it stands, else with fewer shades, else its last colour or tint."""
    last = parts[-1]
    if last.kind != "colour":
        tint = next((part.entry.means for part in reversed(parts) if part.kind == "tint"), None)
        return lexicon.tints.get(tint)
    for start in range(len(parts)):
        known = _known(lexicon, parts[start:])
        if known:
            return known
    for part in parts[:-1]:
        known = _known(lexicon, [part, last])
        if known:
            return known
    return last.entry.means
