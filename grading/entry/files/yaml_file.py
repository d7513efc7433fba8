"""Records in YAML (and so in JSON): a list, each with `sample`, `lines` and `result`."""

import yaml
from django.utils.translation import gettext as _

from grading.entry.files.written import (
    ANION,
    CATION,
    INFERENCE,
    MOST_ROWS,
    OBSERVATION,
    TEST,
    Cell,
    Entry,
    Problem,
    Reading,
    empty,
    too_many_rows,
)
from grading.marking.parts import RESULT
from grading.scoring.records import TextLoader

LARGEST_MB = 5
DEEPEST = 6  # list, record, lines, line, words; one to spare
MOST_NODES = 20 * MOST_ROWS  # a line of a record has seven, a record without lines as many
RECORD_KEYS, RESULT_KEYS = ("sample", "lines", "result"), (CATION, ANION)
LINE_KEYS = (TEST, OBSERVATION, INFERENCE)
NULL = "tag:yaml.org,2002:null"


class _Wrong(Exception):
    """Something in the file that stops its reading; `problem` says what and where."""

    def __init__(self, problem):
        self.problem = problem
        super().__init__(str(problem))


class _Composer(TextLoader):
    """YAML that stops where it can be no file of records: before it costs anything."""

    def __init__(self, text):
        super().__init__(text)
        self.depth = self.nodes = 0

    def compose_node(self, parent, index):
        """As in any YAML; the next event is looked at before it is taken."""
        event = self.peek_event()
        if isinstance(event, yaml.AliasEvent) or event.anchor:
            raise _Wrong(Problem(event.start_mark.line + 1, "", _(
                "& and * are not used in records. Write the words out, or put them in quotes.")))
        self.depth, self.nodes = self.depth + 1, self.nodes + 1
        if self.depth > DEEPEST:
            raise _Wrong(Problem(event.start_mark.line + 1, str(event.start_mark.column + 1), _(
                "this is nested too deeply to hold records.")))
        if self.nodes > MOST_NODES:
            raise _Wrong(too_many_rows())
        node = super().compose_node(parent, index)
        self.depth -= 1
        return node


def read_yaml(data):
    """The records in a YAML file; nothing raises, problems are told in the reading."""
    try:
        return _read(_document(data))
    except _Wrong as wrong:
        return Reading.refused(wrong.problem)


def _document(data):
    if len(data) > LARGEST_MB * 2**20:
        raise _Wrong(Problem(0, "", _("The file is larger than %(limit)d MB.") % {"limit": LARGEST_MB}))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[:error.start].count(b"\n") + 1
        raise _Wrong(Problem(line, "", _("this is not UTF-8 text. Save the file as UTF-8."))) from None
    loader = None
    try:
        loader = _Composer(text)  # which looks at every character first
        return loader.get_single_node()
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        what = getattr(error, "problem", None) or getattr(error, "reason", None) or _("it cannot be read")
        place = (mark.line + 1, str(mark.column + 1)) if mark else (0, "")
        raise _Wrong(Problem(*place, _("this is not YAML: %(what)s.") % {"what": what})) from None
    except (ValueError, OverflowError):  # an escape beyond Unicode
        raise _Wrong(Problem(0, "", _("The file names a character that does not exist (\\U and its number). "
                                      "Write the character itself."))) from None
    finally:
        if loader:
            loader.dispose()


def _read(root):
    if root is None:
        return Reading.refused(empty())
    nodes = root.value if isinstance(root, yaml.SequenceNode) else [root]
    entries, problems = [], []
    for node in nodes:
        _record(node, entries, problems)
    return Reading.of(entries, problems)


def _record(node, entries, problems):
    keys = _mapping(node, RECORD_KEYS, problems)
    if keys is None:
        return
    if "sample" not in keys:
        problems.append(_at(node, _("this record has no 'sample': the code on the label.")))
        return
    code = _words(keys["sample"], "sample", problems)
    lines = keys.get("lines")
    if lines is not None and not isinstance(lines, yaml.SequenceNode) and lines.tag != NULL:
        problems.append(_at(lines, _("'lines' must be a list, each with test, observation and inference.")))
    for each in lines.value if isinstance(lines, yaml.SequenceNode) else ():
        _line(each, code, entries, problems)
    result = keys.get("result")
    if result is not None and result.tag != NULL:
        found = _mapping(result, RESULT_KEYS, problems) or {}
        words = [_words(found.get(key), key, problems, result) for key in RESULT_KEYS]
        entries.append(Entry(code, Cell(RESULT, words[0].line, ""), *words))


def _line(node, code, entries, problems):
    keys = _mapping(node, LINE_KEYS, problems)
    if keys is None:
        return
    if TEST not in keys:
        problems.append(_at(node, _("this line has no 'test'.")))
        return
    entries.append(Entry(code, *(_words(keys.get(key), key, problems, node) for key in LINE_KEYS)))


def _mapping(node, known, problems):
    """{key: node} of a mapping, or None; keys that are strange or stand twice are problems."""
    if not isinstance(node, yaml.MappingNode):
        problems.append(_at(node, _("here a mapping is needed with: %(keys)s.") % {"keys": ", ".join(known)}))
        return None
    found = {}
    for key, value in node.value:
        name = _whole(key.value) if isinstance(key, yaml.ScalarNode) else ""
        if name not in known:
            problems.append(_at(key, _("the key '%(key)s' is not known; there are: %(keys)s.")
                                % {"key": name, "keys": ", ".join(known)}))
        elif name in found:
            problems.append(_at(key, _("the key '%(key)s' is written twice.") % {"key": name}))
        found.setdefault(name, value)
    return found


def _words(node, key, problems, near=None):
    if node is None:
        return Cell("", near.start_mark.line + 1, key)
    if not isinstance(node, yaml.ScalarNode):
        problems.append(_at(node, _("'%(key)s' must be text.") % {"key": key}))
        return Cell("", node.start_mark.line + 1, key)
    return Cell("" if node.tag == NULL else _whole(node.value), node.start_mark.line + 1, key)


def _whole(text):
    """The text with characters that JSON writes as two halves made whole; a half alone, which no database
    keeps, is shown as a replacement character."""
    return text.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")


def _at(node, what):
    return Problem(node.start_mark.line + 1, str(node.start_mark.column + 1), what)
