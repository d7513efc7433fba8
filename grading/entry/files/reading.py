"""A file of records, told apart by its name or its content."""

from examkit.planning.sheets import looks_zipped
from grading.entry.files.tables import read_table
from grading.entry.files.yaml_file import read_yaml

YAML_NAMES = (".yaml", ".yml", ".json")


def read_file(data, filename=""):
    """What a file's bytes say, as a Reading; whatever it is, nothing raises."""
    if filename.casefold().endswith(YAML_NAMES) and not looks_zipped(data, ""):
        return read_yaml(data)
    return read_table(data, filename)
