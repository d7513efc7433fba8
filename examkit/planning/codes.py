"""Sample codes: short, readable aloud, unique in the exam, and silent about salt, bench and candidate."""

from examkit.planning.chance import Stream
from examkit.planning.said import AllRefused
from examkit.planning.said import said as _

# No vowels (no words), nothing that is taken for something else (0 O, 1 I L, 2 Z, 5 S, 6 G, 8 B, U V).
LETTERS = "CDFHJKMNPRTVWXY3479"
BASE = len(
    LETTERS
)  # 19, a prime: any one wrong character and any exchange of two changes the check character
LENGTH = 6  # five by chance (2.4 million codes) and the check character at the end


class CodeError(AllRefused):
    """What was typed is no sample code."""


def check_character(body):
    """The last character of a code: a weighted sum modulo 19, as in ISO 7064 style systems."""
    return LETTERS[sum(weight * LETTERS.index(letter) for weight, letter in enumerate(body, start=2)) % BASE]


def sample_codes(numbers, seed):
    """A code for each candidate number; by chance from the seed, in no order."""
    return fresh_codes(numbers, (), seed)


def fresh_codes(numbers, used, seed):
    """A code for each candidate number that none of the codes in use is."""
    stream, used, codes = Stream(seed, "codes"), set(used), {}
    for number in sorted(numbers):
        code = _fresh(stream, used)
        used.add(code)
        codes[number] = code
    return codes


def _fresh(stream, used):
    """A code that is not in use."""
    while True:
        value = stream.below(BASE ** (LENGTH - 1))
        body = "".join(LETTERS[value // BASE**place % BASE] for place in range(LENGTH - 1))
        code = body + check_character(body)
        if code not in used:
            return code


def spaced(code):
    """The code as printed, in two halves: "K7H 4PX"."""
    return f"{code[:3]} {code[3:]}"


def read_code(text):
    """The code that somebody typed, whatever its case and spaces; CodeError names the fault."""
    code = "".join(text.upper().split()).replace("-", "")
    strange = sorted({letter for letter in code if letter not in LETTERS})
    if strange:
        raise CodeError([_("Sample codes never hold %(characters)s. Compare the label again.",
                           characters=" ".join(strange))])
    if len(code) != LENGTH:
        raise CodeError([_("A sample code has %(wanted)d characters, not %(typed)d. Compare the label again.",
                           wanted=LENGTH, typed=len(code))])
    if check_character(code[:-1]) != code[-1]:
        raise CodeError([_("The code %(code)s holds a slip: its last character does not fit. Compare the "
                           "label again.",
                           code=spaced(code))])
    return code
