"""Random and mutated texts through reading and scoring: `python -m tests.benchmarks.fuzz FOLDER --texts 100000`.

Told are the exceptions (there must be none), the slowest texts, and how the time grows with the length of texts
made to catch an expression that backtracks.
"""

import argparse
import gc
import random
import time
from pathlib import Path

import yaml

from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.specimen import read_specimen
from grading.scoring.judge import judge
from grading.scoring.lines import score_line
from grading.scoring.records import TextLoader

SALTS = ("NiCl2.6H2O", "Pb(NO3)2", "CuSO4.5H2O", "NH4Cl", "KI", "Na2CO3", "BaCl2.2H2O", "FeSO4.7H2O")
ODD = "↓↑→Δ✓✗²⁺³⁻₂₄½¼'\"“”()[]{}<>/\\|;:,.?!*#%&@\0\t\n\u202e\u0301ßéñ日本🙂٣−–— "
NASTY = ("(", "((", "[Fe(CN)6]4", "a.", "A.", "(A", "Na2", "O3^2-", "no ", "not ", "/", "-", "'a", "white or ", "+")
LIMIT_MS = 50.0


def texts(words, seed, count):
    """Texts of every sort: mutated, shuffled, random, repeated, very long."""
    dice = random.Random(seed)
    for _ in range(count):
        yield dice.choice((_mutated, _shuffled, _letters, _repeated))(dice, words)


def _mutated(dice, words):
    text = list(dice.choice(words))
    for _ in range(dice.randint(1, 6)):
        at = dice.randint(0, len(text))
        text[at : at + dice.randint(0, 2)] = dice.choice(ODD + "abcdefghijklmnopqrstuvwxyzABCNOPS0123456789")
    return "".join(text)


def _shuffled(dice, words):
    pieces = [word for _ in range(dice.randint(1, 4)) for word in dice.choice(words).split()]
    dice.shuffle(pieces)
    return " ".join(pieces)


def _letters(dice, words):
    return "".join(chr(dice.choice((dice.randint(32, 126), dice.randint(160, 0x2FFF)))) for _ in range(dice.randint(0, 80)))


def _repeated(dice, words):
    return dice.choice((*NASTY, dice.choice(words)[:12])) * dice.randint(1, 40)


def samples(folder):
    """The texts of the records in a folder."""
    rows = [yaml.load(file.read_text(encoding="utf-8"), TextLoader) for file in sorted(Path(folder).glob("*.yaml"))]
    found = {line.get(key) or "no ppt" for row in rows for line in row["lines"] for key in ("observation", "inference")}
    return sorted(found)


def lines():
    """(present, expected line) pairs to judge the texts by."""
    kb = load()
    for salt in SALTS:
        record = expect(kb, read_specimen(kb, salt), "semimicro").as_json()
        present = (*record["cations"], *record["anions"])
        yield from ((present, line) for line in record["lines"] if line["done"])


def main():
    """Try all, and tell."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder")
    parser.add_argument("--texts", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    told = parser.parse_args()
    bench, places, failed, slow = judge(load(), "semimicro", "common"), list(lines()), 0, []
    gc.disable()  # garbage is collected between the texts, not at the expense of one of them
    words, started = samples(told.folder), time.process_time()
    for place in places:
        score_line(bench, place[1], place[0], "white ppt", "Zn2+")  # fills the caches
    for number, text in enumerate(texts(words, told.seed, told.texts)):
        present, line = places[number % len(places)]
        if not number % 500:
            gc.collect()
        at = time.process_time()
        try:
            score_line(bench, line, present, text, text[::-1] if number % 3 else text)
        except Exception as problem:  # noqa: BLE001  every one of them is what is sought
            failed += 1
            print(f"{type(problem).__name__}: {problem}: {text!r}")
        slow.append(((time.process_time() - at) * 1000, text))
    slow.sort(reverse=True)
    over = sum(took > LIMIT_MS for took, _text in slow)
    print(f"{told.texts} texts in {time.process_time() - started:.0f} s: {failed} exceptions, {over} over {LIMIT_MS:.0f} ms")
    for took, text in slow[:5]:
        print(f"  {took:.1f} ms, {len(text)} characters: {text[:60]!r}")
    growth(bench, *places[0])


def growth(bench, present, line):
    """How the time grows when a nasty text is doubled: about twice, and not the square of it."""
    for piece in NASTY:
        took = []
        for length in (500, 1000, 2000):
            text = (piece * length)[:length]
            at = time.process_time()
            score_line(bench, line, present, text, text)
            took.append((time.process_time() - at) * 1000)
        print(f"  {piece!r:16} 500, 1000, 2000 characters: {', '.join(f'{ms:.1f}' for ms in took)} ms")


if __name__ == "__main__":
    main()
