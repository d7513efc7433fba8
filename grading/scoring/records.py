"""A record as it stands in a file, checked: everything that is wrong with it is told at once."""

from dataclasses import dataclass

import yaml

from grading.errors import GradingError

KEYS = ("specimen", "scheme", "mark_scheme", "lines", "result")
LINE_KEYS = ("test", "observation", "inference")


@dataclass(frozen=True)
class WrittenRecord:
    """What one candidate wrote, and what was given out."""

    specimen: str
    scheme: str
    mark_scheme: str
    lines: tuple[dict, ...]
    result: dict


def read_records(text, name, *, scheme, mark_scheme):
    """(records, whether a list came in) from YAML or JSON text; the schemes where a record names none.

    Raises GradingError, which names the file, the record, the key or the line.
    """
    data = _loaded(text, name)
    many = isinstance(data, list)
    rows = data if many else [data]
    problems = [
        problem
        for index, row in enumerate(rows)
        for problem in _problems(row, f"record {index + 1}: " if many else "")
    ]
    if not rows or data is None:
        problems = ["there is no record in it. Write specimen, lines and result."]
    if problems:
        raise GradingError(f"{name}: {' '.join(problems)}")
    return tuple(_record(row, scheme, mark_scheme) for row in rows), many


def _loaded(text, name):
    try:
        return yaml.load(text, TextLoader)
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        place = f", line {mark.line + 1}, column {mark.column + 1}" if mark else ""
        what = getattr(error, "problem", None) or getattr(error, "reason", None) or "it cannot be read"
        raise GradingError(f"{name}{place}: this is neither YAML nor JSON: {what}.") from error
    except RecursionError as error:
        raise GradingError(f"{name}: it is nested too deeply to be a record.") from error
    except (ValueError, OverflowError) as error:
        raise GradingError(f"{name}: it names a character or a number that does not exist.") from error


class TextLoader(yaml.SafeLoader):
    """YAML in which a candidate's words stay words: `no`, `1e3` and dates are text."""

    def flatten_mapping(self, node):
        """Merge keys are not for records: they could blow a small file up."""
        for key, _value in node.value:
            if key.value == "<<":
                raise yaml.constructor.ConstructorError(
                    None, None, "'<<' is not used in records", key.start_mark
                )

    def construct_mapping(self, node, deep=False):
        """A mapping whose keys stand there once."""
        seen = set()
        for key, _value in node.value if isinstance(node, yaml.MappingNode) else ():
            if key.value in seen and isinstance(key.value, str):
                raise yaml.constructor.ConstructorError(
                    None, None, f"the key '{key.value}' is written twice", key.start_mark
                )
            seen.add(key.value if isinstance(key.value, str) else id(key))
        return super().construct_mapping(node, deep)


TextLoader.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in resolvers if tag == "tag:yaml.org,2002:null"]
    for first, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def _problems(row, where):
    if not isinstance(row, dict):
        yield f"{where}a record is a mapping with specimen, lines and result."
        return
    yield from (
        f"{where}the key '{key}' is not known; there are {', '.join(KEYS)}." for key in row if key not in KEYS
    )
    if not isinstance(row.get("specimen"), str) or not row["specimen"].strip():
        yield f"{where}'specimen' is missing: the formula or name of what was given out."
    for key in ("scheme", "mark_scheme"):
        if row.get(key) is not None and not isinstance(row[key], str):
            yield f"{where}'{key}' must be a name."
    yield from _line_problems(row.get("lines") or [], where)
    yield from _result_problems(row.get("result") or {}, where)


def _line_problems(lines, where):
    if not isinstance(lines, list):
        yield f"{where}'lines' must be a list, each with test, observation and inference."
        return
    tests = [line.get("test") for line in lines if isinstance(line, dict)]
    for index, line in enumerate(lines, 1):
        if not isinstance(line, dict) or not isinstance(line.get("test"), str):
            yield f"{where}line {index} of 'lines' must have a 'test'."
            continue
        yield from (
            f"{where}line {index}: the key '{key}' is not known; there are {', '.join(LINE_KEYS)}."
            for key in line
            if key not in LINE_KEYS
        )
        yield from (
            f"{where}line {index}: '{key}' must be text."
            for key in LINE_KEYS
            if isinstance(line.get(key), dict | list)
        )
        if line["test"] in tests[: index - 1]:
            yield f"{where}line {index}: the test '{line['test']}' stands in an earlier line. Join the two."


def _result_problems(result, where):
    if not isinstance(result, dict):
        yield f"{where}'result' must have 'cation' and 'anion'."
        return
    yield from (
        f"{where}result: the key '{key}' is not known; there are cation and anion."
        for key in result
        if key not in ("cation", "anion")
    )
    yield from (
        f"{where}result.{key} must be text." for key in result if isinstance(result[key], dict | list)
    )


def _record(row, scheme, mark_scheme):
    return WrittenRecord(
        row["specimen"],
        row.get("scheme") or scheme,
        row.get("mark_scheme") or mark_scheme,
        tuple(row.get("lines") or ()),
        row.get("result") or {},
    )
