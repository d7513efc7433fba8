"""YAML with line numbers: plain data, and the line of every key, so that an error can say where it is."""

from dataclasses import dataclass

import yaml

LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True)
class Problem:
    """Something the knowledge base must not say: file, line, key, what, and the way out."""

    file: str
    line: int
    key: str
    what: str
    hint: str = ""

    def __str__(self):
        key = f" ({self.key})" if self.key else ""
        return f"{self.file}:{self.line}{key}: {self.what}" + (f" {self.hint}" if self.hint else "")


@dataclass(frozen=True)
class Document:
    """One file: name, plain data, the line of every place in it, and what was wrong with the YAML itself."""

    file: str
    data: object
    lines: dict
    problems: tuple = ()

    def problem(self, path, what, hint=""):
        """A problem at a place given as a tuple of keys and indexes."""
        known = tuple(path)
        while known and known not in self.lines:
            known = known[:-1]
        key = ".".join(str(step) for step in path if not isinstance(step, int))
        return Problem(self.file, self.lines.get(known, 1), key, what, hint)


def read(text, file):
    """A document from YAML text; broken YAML and keys written twice become its problems."""
    try:
        node = yaml.compose(text, LOADER)
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        what = f"this is not YAML: {getattr(error, 'problem', None) or error}."
        return Document(file, None, {}, (Problem(file, mark.line + 1 if mark else 1, "", what),))
    lines, problems = {}, []
    data = _plain(node, (), file, lines, problems) if node else None
    return Document(file, data, lines, tuple(problems))


def _plain(node, path, file, lines, problems):
    lines[path] = lines.get(path, node.start_mark.line + 1)
    if isinstance(node, yaml.MappingNode):
        return _mapping(node, path, file, lines, problems)
    if isinstance(node, yaml.SequenceNode):
        return [_plain(item, (*path, index), file, lines, problems) for index, item in enumerate(node.value)]
    return _scalar(node)


def _mapping(node, path, file, lines, problems):
    result = {}
    for key_node, value_node in node.value:
        key, line = str(key_node.value), key_node.start_mark.line + 1
        if key in result:
            problems.append(
                Problem(file, line, key, f"the key '{key}' stands here twice.", "Keep one of the two.")
            )
        lines[(*path, key)] = line
        result[key] = _plain(value_node, (*path, key), file, lines, problems)
    return result


def _scalar(node):
    """Null, booleans and numbers as YAML 1.2 has them; all else is text (`no`, `on` and `12:30` too)."""
    text = node.value
    if node.style in ("'", '"', "|", ">"):
        return text
    if text in ("", "~", "null"):
        return None
    if text in ("true", "false"):
        return text == "true"
    for kind in (int, float):
        try:
            return kind(text) if not text.startswith(("_", ".")) and "_" not in text else text
        except ValueError:
            continue
    return text
