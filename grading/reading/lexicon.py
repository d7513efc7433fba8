"""The vocabulary as tables of phrases: what each word or phrase that a candidate may write stands for."""

from dataclasses import dataclass, replace
from functools import cache

from grading.reading.normalise import tokens

AIMED = "aimed"
OBSERVATION = (  # file -> kind of its entries; of several meanings the first is the usual one
    ("events", "event"),
    ("smells", "smell"),
    ("gases", "gas"),
    ("papers", "paper"),
    ("steps", "step"),
    ("reagents", "reagent"),
    ("textures", "texture"),
    ("deeds", "deed"),
    ("degrees", "degree"),
    ("negations", "negation"),
    ("joins", "join"),
    ("aimed", "aimed"),
)
SHADES = (("colours", "colour"), ("shades", "shade"), ("tints", "tint"))
SALTS = ("ide", "ate", "ite")  # how names of salts end
SAYS = ("step", "colours", "texture", "gas", "smell", "effect", "event")


@dataclass(frozen=True)
class Entry:
    """One meaning of a phrase; `says` holds what it tells besides (a smell that tells the gas)."""

    kind: str
    means: str
    noun: bool = False
    weak: bool = False
    negated: bool = False
    place: str = ""
    facet: str = ""
    says: tuple[tuple[str, str], ...] = ()

    def told(self, what):
        """What the phrase tells about `what` besides its meaning, or None."""
        return dict(self.says).get(what)


@dataclass(frozen=True, eq=False)  # a cache key: told apart by identity
class Table:
    """Phrases as tuples of words; `exact` ones fit only as they are written, with their capitals."""

    phrases: dict
    exact: dict
    longest: int
    reach: dict  # first word -> words of the longest phrase that begins with it
    words: frozenset
    negating: frozenset
    lookalikes: frozenset
    abbreviations: frozenset


@dataclass(frozen=True, eq=False)
class Lexicon:
    """Everything that is needed to read: one table for observations, one for inferences, and the colours."""

    observation: Table
    inference: Table
    colours: frozenset
    tints: dict  # reddish -> red
    no_colour: frozenset
    gases: dict  # formula -> names and formulas with hyphens, as reagents are called
    shelf: dict  # what a reagent is called -> the words of its names on the shelf
    deeds: dict  # a deed -> the colours that it tells
    general: frozenset  # smells and papers that many gases share
    smells_under: dict  # a smell -> the general one that it is a kind of
    turned: dict  # a paper whose colour was not said -> the colour that it took -> which it was
    spellings: tuple = ()


@cache
def build(kb):
    """The lexicon of a knowledge base: its files of words, its colours, its facets."""
    words = kb.words
    shades = words.get("shades", {})
    return Lexicon(
        observation=_table(words, list(_observation_entries(kb))),
        inference=_table(words, list(_inference_entries(kb))),
        colours=frozenset(kb.colours),
        tints={row["means"]: row["of"] for row in shades.get("tints", ())},
        no_colour=frozenset(shades.get("no_colour", ())),
        gases={
            row["means"]: frozenset(str(word).replace(" ", "-") for word in row["words"])
            for row in words.get("gases", ())
        },
        shelf={
            row["means"]: frozenset(row["shelf"].split())
            for row in words.get("reagents", ())
            if row.get("shelf")
        },
        deeds={row["means"]: (row["colours"],) for row in words.get("deeds", ()) if row.get("colours")},
        general=frozenset(
            row["means"] for name in ("smells", "papers") for row in words.get(name, ()) if row.get("general")
        ),
        smells_under={row["means"]: row["under"] for row in words.get("smells", ()) if row.get("under")},
        turned={row["means"]: row["turned"] for row in words.get("papers", ()) if row.get("turned")},
        spellings=tuple(map(tuple, words.get("groups", {}).get("spellings", ()))),
    )


def _observation_entries(kb):
    """(phrase, entry) pairs; earlier ones are the more usual meaning of the same phrase."""
    yield from _colour_entries(kb)
    for name, kind in OBSERVATION:
        yield from _rows((row for row in kb.words.get(name, ()) if not row.get("inference")), kind)
    yield from _facet_entries(kb)
    yield from _fillers(kb.words)
    filler = Entry("filler", "")
    seen = _everything_seen(kb)
    yield from _looks(seen)
    yield from ((word, filler) for word in _prose(seen))


def _looks(seen):
    """Longer looks of the knowledge base ("milky turbidity"), with the event where it is one."""
    events = {}
    for item in seen:
        if item.texture and " " in item.texture:
            events.setdefault(item.texture, set()).add(item.event)
    for look, found in sorted(events.items()):
        yield look, Entry("texture", look, says=(("event", *found),) if found == {"precipitate"} else ())


def _everything_seen(kb):
    """All outcomes of the knowledge base."""
    facts = [fact for subject in (*kb.ions.values(), *kb.salts.values()) for fact in subject.facts.values()]
    return {
        item for fact in facts for seen in (fact.seen, *(other.seen for other in fact.also)) for item in seen
    }


def _prose(seen):
    """The words in which the knowledge base itself remarks on what is seen: known, and no more than that."""
    texts = {text for item in seen for text in (item.also_seen, item.texture, item.smell, item.step) if text}
    return sorted({token.norm for text in texts for token in tokens(text) if token.kind == "word"})


def _inference_entries(kb):
    """Words of inferences; those of observations are known there, too, but say nothing about ions."""
    words = kb.words
    yield from _rows(words.get("aimed", ()), AIMED)
    yield from _rows(words.get("inference", ()), "inference")
    yield from _rows(words.get("gases", ()), "gas")
    groups = words.get("groups", {})
    yield from ((sign, Entry("group-sign", "group")) for sign in groups.get("signs", ()))
    yield from _rows(groups.get("numerals", ()), "numeral")
    yield from _joined_signs(groups)
    yield from _rows(groups.get("called", ()), "group-name")
    for row in groups.get("families", ()):
        yield from ((word, Entry("family", " ".join(row["means"]))) for word in row["words"])
    for formula in kb.salts:
        yield from ((plain.lower(), Entry("formula", formula)) for plain in (formula, formula.split(".")[0]))
    yield from _trade_names(kb)
    named = _words_of_names(kb) | {word for row in words.get("inference", ()) for word in row["words"]}
    passed = Entry("filler", "")
    for word, entry in _observation_entries(kb):
        if word not in named and not (entry.kind == "reagent" and _names_a_salt(kb, named, word)):
            yield word, passed


def _trade_names(kb):
    """Names of salts that do not say which ions they have: "green vitriol"."""
    plain = {name.lower() for ion in kb.ions.values() for name in (ion.name, *ion.names)}
    for salt in kb.salts.values():
        entry = Entry("salt", " ".join((*salt.cations, *salt.anions)))
        yield from ((name.lower(), entry) for name in salt.names if plain.isdisjoint(name.lower().split()))


def _joined_signs(groups):
    """The word for a group written together with its numeral: "Gp1", "GrIV"."""
    for sign in groups.get("signs", ()):
        for row in groups.get("numerals", ()) if sign.isalpha() else ():
            entry = Entry("group-name", row["means"])
            yield from ((f"{sign}{word}", entry) for word in row["words"] if word.isalnum())


def _words_of_names(kb):
    """The single words that ions go by."""
    return {
        part for ion in kb.ions.values() for name in (ion.name, *ion.names) for part in name.lower().split()
    }


def _names_a_salt(kb, named, phrase):
    """Whether a reagent is a salt that may be given out, too: in an inference it is that salt."""
    formulas = {formula.split(".")[0].lower() for formula in kb.salts}
    return phrase.lower() in formulas or bool(set(phrase.lower().split()) & named)


def _rows(rows, kind):
    for row in rows:
        entry = _entry(row, kind)
        for word in map(str, row["words"]):
            yield word, entry
            yield from ((other, entry) for other in _other_ways(word, kind))
            if word.startswith("with "):
                yield f"w/ {word.removeprefix('with ')}", entry


def _other_ways(word, kind):
    """American spelling, and a salt among the reagents by its other order: "acetate of lead"."""
    if "colour" in word:
        yield word.replace("colour", "color")
    first, _blank, last = word.partition(" ")
    if kind == "reagent" and last.endswith(SALTS) and " " not in last:
        yield f"{last} of {first}"


def _entry(row, kind):
    return Entry(
        kind,
        row["means"],
        bool(row.get("noun")),
        bool(row.get("weak")),
        bool(row.get("not")),
        row.get("place", ""),
        row.get("facet", ""),
        tuple((key, row[key]) for key in SAYS if row.get(key)),
    )


def _fillers(words):
    filler = Entry("filler", "")
    return ((word, filler) for row in words.get("fillers", ()) for word in row)


def _colour_entries(kb):
    for colour in kb.colours.values():
        yield colour.word, Entry("colour", colour.word)
    for colour in kb.colours.values():
        yield from ((like, Entry("colour", colour.word)) for like in colour.like if like not in kb.colours)
    shades = kb.words.get("shades", {})
    for name, kind in SHADES:
        yield from _rows(shades.get(name, ()), kind)


def _facet_entries(kb):
    """How the beads and papers say "nothing seen", and the reagents that facets and steps are named after."""
    steps = {word for row in kb.words.get("steps", ()) for word in row["words"]}
    for test in kb.tests.values():
        named_after = set(test.operations)
        for facet in test.facets.values():
            if facet.none.startswith(
                facet.key
            ):  # "bead stays colourless": the grammar would take it for a bead
                yield facet.none, Entry("event", "none", facet=facet.key)
            if facet.key in named_after:
                named = Entry("reagent", facet.key.replace("-", " "), facet=facet.key)
                yield from ((name, named) for name in (facet.title.lower(), named.means))
            for step in facet.steps:
                if step not in steps:
                    yield from (
                        (way, Entry("reagent", step)) for way in (step, *_other_ways(step, "reagent"))
                    )


def _table(words, entries):
    lists = (
        frozenset(w for row in words.get(name, ()) for w in row) for name in ("lookalikes", "abbreviations")
    )
    return table_with(Table({}, {}, 1, {}, frozenset(), frozenset(), *lists), entries)


def table_with(table, entries):
    """The table with more (phrase, entry) pairs in it; what they mean comes before what was there."""
    phrases, exact = {}, {}
    for phrase, entry in entries:
        for key, target in _keys(str(phrase), phrases, exact):
            if entry not in target.setdefault(key, ()):
                target[key] += (entry,)
    phrases = _merged(phrases, table.phrases)
    exact = _merged(exact, table.exact)
    return replace(
        table,
        phrases=phrases,
        exact=exact,
        longest=max(map(len, (*phrases, *exact)), default=1),
        reach=_reach((*phrases, *exact)),
        words=frozenset(word.lower() for key in (*phrases, *exact) for word in key if word[0].isalpha()),
        negating=frozenset(key[0] for key, found in phrases.items() if _negating(found)),
    )


def _reach(keys):
    """How long the longest phrase is that begins with each word."""
    found = {}
    for key in keys:
        found[key[0]] = max(found.get(key[0], 1), len(key))
    return found


def _merged(first, second):
    return {key: first.get(key, ()) + second.get(key, ()) for key in {**first, **second}}


def _keys(phrase, phrases, exact):
    """The keys of a phrase: by its tokens and, for formulas in small letters, by its blanks.

    A full stop that must stand in the text is written apart ("red . flame").
    """
    found = [token for token in tokens(phrase) if not is_hyphen(token, phrase) and not is_stop(token, phrase)]
    if phrase != phrase.lower():
        return [(tuple(token.written for token in found), exact)]
    keys = {tuple(token.norm for token in found), tuple(phrase.split())}
    return [(key, phrases) for key in sorted(keys) if key]


def _negating(entries):
    return any(e.negated or e.means in ("not", "none", "absent") for e in entries)


def is_stop(token, text):
    """Whether a token is the full stop of an abbreviation: texts are matched without it."""
    return token.written == "." and token.start > 0 and text[token.start - 1].isalpha()


def is_hyphen(token, text):
    """Whether a token is a hyphen inside a word: it joins, and says nothing."""
    inside = 0 < token.start and token.end < len(text)
    return token.written == "-" and inside and text[token.start - 1].isalnum() and text[token.end].isalnum()
