"""ZIP files from strangers: the directory is looked at before anything is unpacked.

What parses them raises whatever it comes upon in a hostile file (a version of tomorrow, a number without end,
packed bytes of any method that are damaged). So each call of a parser goes through `asked`, and nothing else
does: our own mistakes are not taken for the sender's.
"""

import io
import zipfile

from examkit.planning.said import AllRefused
from examkit.planning.said import said as _

MEGABYTE = 1024 * 1024


def refused(what, line=0, column="", file=None):
    """A refusal of the whole file, or of one file in it."""
    return AllRefused([(line, column, what) if file is None else (line, column, what, file)])


def asked(step, refusal):
    """What a parser answers; whatever it raises becomes `refusal` (or what `refusal` makes of it)."""
    try:
        return step()
    except Exception as problem:  # noqa: BLE001 (see above)
        raise (refusal(problem) if callable(refusal) else refusal) from None


def parts(data):
    """The directory of a ZIP: its parts, none where the data is no ZIP."""
    try:
        return asked(lambda: tuple(zipfile.ZipFile(io.BytesIO(data)).infolist()), refused(""))
    except AllRefused:
        return ()


def check(found, limit_MB):
    """Refuse parts that would fill the memory, or that a password protects."""
    size = sum(part.file_size for part in found)
    if size > limit_MB * MEGABYTE:
        raise refused(_("The file expands to %(size)d MB; limit %(limit)d MB. Copy the list into a new file, "
                        "or export one year at a time.", size=-(-size // MEGABYTE), limit=limit_MB))
    if any(part.flag_bits & 1 for part in found):
        raise refused(_("The file is protected by a password. Save it without one."))


def content(data, part, refusal):
    """The bytes of one part."""
    return asked(lambda: zipfile.ZipFile(io.BytesIO(data)).read(part), refusal)
