"""What can be chosen for a line: every outcome that the syllabus can show, in an order that says nothing.

A choice goes into the record as words that read back to what it stands for, and its key beside them.
"""

import hashlib
import json
from dataclasses import asdict, dataclass, field
from functools import cache
from itertools import count

from django.utils.translation import gettext_lazy as _

from examkit.chemistry.knowledge.model import Outcome
from grading.errors import GradingError
from grading.reading.chosen import SEPARATOR, words_beside, words_of
from grading.scoring.outcomes import choices

IN_WORDS = "words"  # the answer "not listed": says nothing by itself, what is typed beside it counts
ANY_ONE = "one"  # of the facets of a test (confirmatory tests): they are offered in one list
OUTCOME = ("step", "event", "colours", "texture", "gas", "smell")  # what is stored of an outcome
DIGITS = 10  # of the digest of an outcome in its key


class NotOffered(GradingError):
    """What was chosen is not in the list of the test."""


@dataclass(frozen=True)
class Choice:
    """An outcome in the list: its key, the part of the test that it is of, its words; whether it is that
    nothing is seen."""

    key: str
    facet: str
    text: str
    nothing: bool = False
    seen: tuple = field(default=(), hash=False)  # the outcomes that it stands for

    def as_json(self):
        """What is stored beside the words: enough to know the choice when the list is another one."""
        plain = {"facet": self.facet, "key": self.key, "text": self.text, "nothing": self.nothing}
        return plain | {"seen": [_outcome(item) for item in self.seen]}


def _outcome(item):
    """An outcome as a database gives it back: lists, no tuples."""
    told = {name: getattr(item, name) for name in OUTCOME}
    return told | {"colours": list(item.colours)}


@dataclass(frozen=True)
class ChoiceList:
    """One list of a test: a facet, or all facets where any one of them does; groups are (title, choices)."""

    key: str
    title: str
    groups: tuple[tuple[str, tuple[Choice, ...]], ...]

    @property
    def choices(self):
        """All choices in the order shown."""
        return tuple(choice for _title, group in self.groups for choice in group)

    @property
    def numbered(self):
        """The groups with the number of each choice in the list: typed, it finds the choice."""
        numbers = count(1)
        return [(title, [(next(numbers), choice) for choice in group]) for title, group in self.groups]


@cache
def choice_lists(kb, scheme, test_id):
    """The lists of a test of a scheme (its key); none where scheme or test is not there."""
    test = kb.tests.get(test_id)
    offered = choices(kb, scheme, test_id)
    if test is None or not offered:
        return ()
    groups = [(facet, _group(test, facet, offered)) for facet in test.facets.values()]
    groups = [(facet, group) for facet, group in groups if group]
    if test.choose == ANY_ONE:
        return (ChoiceList(ANY_ONE, "", tuple((facet.title, group) for facet, group in groups)),)
    title = {facet.key: facet.title if len(groups) > 1 else "" for facet, _group in groups}
    return tuple(ChoiceList(facet.key, title[facet.key], (("", group),)) for facet, group in groups)


def _group(test, facet, offered):
    """The choices of a facet by their words, and that nothing is seen as the last, where that has words."""
    found = [choice for choice in offered if choice.facet == facet.key]
    if not found:
        return ()
    seen = sorted((c for c in found if _shows(c)), key=lambda c: c.text.casefold())
    silent = [_choice(c) for c in found if not _shows(c)] or _nothing(test, facet)
    return (*map(_choice, seen), *silent)


def _shows(choice):
    return any(outcome.seen for outcome in choice.seen)


def _choice(found):
    """The key is a digest of the outcome, so that it stays when the list around it changes."""
    seen = json.dumps([asdict(outcome) for outcome in found.seen], sort_keys=True, default=str)
    digest = hashlib.sha256(seen.encode()).hexdigest()[:DIGITS]
    return Choice(f"{found.facet}:{digest}", found.facet, found.text, not _shows(found), found.seen)


def _nothing(test, facet):
    if not facet.none:
        return []
    text = f"{facet.title}: {facet.none}" if test.choose == ANY_ONE else facet.none
    return [Choice(f"{facet.key}:none", facet.key, text, True, (Outcome("none"),))]


def chosen(kb, scheme, test_id, keys):
    """The choices with these keys, in the order of the lists; NotOffered for a key that is in none."""
    wanted = {key for key in keys if key and key != IN_WORDS}
    found = [each for offered in choice_lists(kb, scheme, test_id) for each in offered.choices
             if each.key in wanted]
    if len({each.key for each in found}) < len(wanted):
        raise NotOffered(_("An outcome that was chosen is not in the list of this test any more. Choose "
                           "again."))
    return found


def in_words(choices_made, words=""):
    """The observation that choices and the words typed beside them make.

    >>> in_words([Choice("a", "f", "white ppt"), Choice("b", "g", "yellow ppt")], "turbid at once")
    'white ppt; yellow ppt; turbid at once'
    """
    said = words_of([choice.as_json() for choice in choices_made])
    return SEPARATOR.join([*said, words] if words.strip() else said)


__all__ = ["ANY_ONE", "IN_WORDS", "Choice", "ChoiceList", "NotOffered", "choice_lists", "chosen", "in_words",
           "words_beside"]
