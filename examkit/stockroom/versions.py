"""What is saved from a page carries the version that the page showed, so that a stale save is seen."""


def version_of(row):
    """The version of a stored row, for a page; 0 where nothing is stored yet."""
    return row.version if row else 0
