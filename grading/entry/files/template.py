"""The file to fill in: every test of every record that has not been entered yet. Pure: rows in, bytes out."""

import yaml

from grading.entry.files.tables import TITLES
from grading.entry.files.written import MOST_ROWS
from grading.marking.parts import RESULT
from grading.moderation.exports import as_csv, as_xlsx


def template_rows(codes, tests):
    """The rows of a table: its heads, then a row for each test of each code and one for the result.

    As many codes as fit into one file.
    """
    fitting = codes[:MOST_ROWS // (len(tests) + 1)]
    blank = [""] * (len(TITLES) - 2)
    return [list(TITLES.values()), *([code, test, *blank] for code in fitting for test in [*tests, RESULT])]


def template_yaml(codes, tests):
    """The same as YAML."""
    fitting = codes[:MOST_ROWS // (len(tests) + 1)]
    lines = [{"test": test, "observation": "", "inference": ""} for test in tests]
    records = [{"sample": code, "lines": [dict(line) for line in lines],
                "result": {"cation": "", "anion": ""}} for code in fitting]
    return yaml.safe_dump(records, allow_unicode=True, sort_keys=False).encode()


MAKE = {  # how a file ends -> its type, and how it is made
    "csv": ("text/csv; charset=utf-8", lambda codes, tests: as_csv(template_rows(codes, tests))),
    "xlsx": ("application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
             lambda codes, tests: as_xlsx(template_rows(codes, tests), "Records")),
    "yaml": ("application/yaml; charset=utf-8", template_yaml),
}
