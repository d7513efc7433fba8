"""What stands around a word of an inference: brackets, lists before a group, what a negation may reach."""

FIRM = ("maybe", "present", "absent", "confirmed")
OPEN = "open"  # "may or may not be there"
HOLDS_ON = (":", "(")  # what was said before them holds for what stands behind
ENDS = (",", ".", ";", ")")
DASHES = "-–—−"
NAMES = ("ion", "formula", "salt", "family", "numeral", "group-sign", "group-name", "gas")
JOINS = ("/", ",", "and", "&", "+", "or")
NO_NUMERAL = ("I", "0", "O")  # by themselves more often an ion, or nothing
EITHER = ("or", "/")


def joins(chunk):
    """Whether it only joins the names of a list."""
    return chunk.written.lower() in JOINS


def kind_at(found, index):
    """The kind of the chunk at an index, or nothing where there is none."""
    return found[index].kind if 0 <= index < len(found) else ""


def inside(found, index):
    """(whether a name, whether a word of firmness stands) in the brackets that open at an index."""
    within = []
    for chunk in found[index + 1 :]:
        if chunk.written == ")":
            break
        within.append(chunk)
    firm = any(c.kind == "inference" and c.entry.means in (*FIRM, "not", OPEN) for c in within)
    return any(c.kind in NAMES for c in within), firm


def make_a_salt(found, known, first, second):
    """Whether two names stand side by side and make a salt: "nickel chloride"."""
    between = [c for c in found if first.chunk.end <= c.start < second.chunk.start]
    kinds = [{ion.charge > 0 for ion in known if ion.formula in name.ions} for name in (first, second)]
    plain = not any(character in name.chunk.written for name in (first, second) for character in "+-")
    return plain and not between and not first.salt and kinds == [{True}, {False}]


def listed_before(found, index):
    """How many ions stand right before the word for a group that no numeral follows: "Fe/Al/Cr group"."""
    if kind_at(found, index - 1) != "ion" or kind_at(found, index + 1) == "numeral":
        return 0
    count = 0
    for chunk in found[index - 1 :: -1]:
        count += chunk.kind == "ion"
        if chunk.kind != "ion" and not joins(chunk):
            break
    return count


def of_a_group(found, index):
    """Whether a numeral is that of a group: the word follows, or "IIIB absent" can mean nothing else."""
    rest = [c for c in found[index + 1 : index + 3] if c.written not in (",", "and", "&", "-")]
    if any(c.kind == "group-sign" for c in rest):
        return True
    beside = [c for c in found[max(index - 1, 0) : index + 2] if c.kind == "inference"]
    firm = any(c.entry.means in (*FIRM, "not") for c in beside)
    written = found[index].written
    return firm and (written.isupper() or written[0].isdigit()) and written not in NO_NUMERAL


def either_way(found, index):
    """Whether the opposite of this word of firmness stands just before: "present or absent"."""
    if index < 2 or found[index - 1].written.lower() not in EITHER or found[index - 2].kind != "inference":
        return False
    said, means = found[index - 2].entry.means, found[index].entry.means
    return said in FIRM and (said == "absent") != (means == "absent")


def named_next(found, index):
    """Whether a name follows with nothing between that stops or joins."""
    for chunk in found[index + 1 :]:
        if chunk.kind in NAMES:
            return True
        if chunk.kind != "filler" or chunk.written in ENDS:
            return False
    return False


def nothing_to_deny(found, index):
    """Whether no name follows in this part of the text: "Zn2+ and Pb2+ not"."""
    for chunk in found[index + 1 :]:
        if chunk.kind in NAMES:
            return False
        if chunk.written in ENDS:
            return True
    return True


def closing_dash(found, index):
    """Whether a dash closes what was named before it: "NH4+ -", "Gr III - (Al, Cr, Fe absent)"."""
    after = found[index + 1].written if index + 1 < len(found) else ","
    return index > 0 and not found[index].written.strip(DASHES) and after in (*ENDS, "(")
