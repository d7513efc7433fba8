"""How far the suggestions agree with the marks of a person: `python -m tests.benchmarks.agreement FOLDER`.

Each file of the folder is a record with the marks that an examiner gave it, line by line, as fractions. Told are
exact agreement, quadratic-weighted kappa, agreement among the lines called sure and their share, and tables of
what was given against what was suggested, by test and by kind of error. `--list` prints every difference.
"""

import argparse
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import yaml

from examkit.chemistry.expect import expect
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.specimen import read_specimen
from grading.analysis.agreement import kappa
from grading.scoring.paper import score_paper
from grading.scoring.records import TextLoader

GOALS = {"observation": 0.95, "inference": 0.93, "result": 0.97}
LEVELS = (Fraction(0), Fraction(1, 2), Fraction(1))


@dataclass(frozen=True)
class Pair:
    """One thing marked twice: by the person and by the program."""

    file: str
    test: str
    kind: str
    written: str
    beside: str
    given: Fraction
    suggested: Fraction
    sure: bool
    reason: str
    why: str

    @property
    def agrees(self):
        """Whether both gave the same."""
        return self.given == self.suggested

    @property
    def error(self):
        """The kind of difference: too high or too low, and from where to where."""
        return f"{self.given} given, {self.suggested} suggested"


def pairs(folder, mark_scheme="common"):
    """All pairs of the records of a folder (or of one file), in the order of the files and lines."""
    files = sorted(Path(folder).glob("*.yaml")) if Path(folder).is_dir() else [Path(folder)]
    return [pair for file in files for pair in _of_file(file, mark_scheme)]


def _of_file(file, mark_scheme):
    kb = load()
    row = yaml.load(file.read_text(encoding="utf-8"), TextLoader)
    expected = expect(kb, read_specimen(kb, row["specimen"]), row.get("scheme", "semimicro")).as_json()
    paper = score_paper(kb, mark_scheme, expected, row["lines"], row.get("result"))
    for line, score in zip(row["lines"], paper.lines, strict=False):
        marks, texts = line["marks"], {k: line.get(k) or "" for k in ("observation", "inference")}
        for kind, award in (("observation", score.observation), ("inference", score.inference)):
            if (given := _fraction(marks.get(kind))) is not None:
                beside = texts["observation" if kind == "inference" else "inference"]
                yield _pair(file, line["test"], kind, texts[kind], beside, given, award, line.get("why"))
    result = row.get("result") or {}
    for score in paper.results:
        given = _fraction((result.get("marks") or {}).get(score.kind))
        if given is not None:
            text = f"{row['specimen']}: {result.get(score.kind) or ''}"
            yield _pair(file, "result", "result", text, "", given, score.award, result.get("why"))


def _pair(file, test, kind, written, beside, given, award, why):
    return Pair(
        file.stem, test, kind, written, beside, given, award.share, award.sure, award.reason, why or ""
    )


def _fraction(value):
    return None if value in (None, "null", "") else Fraction(str(value))


def kappa_of(found):
    """Cohen's kappa with quadratic weights over the marks 0, 1/2 and 1; 1 where all are alike."""
    weighed = kappa([(p.given, _level(p.suggested)) for p in found])
    return 1.0 if weighed is None else float(weighed)


def _level(share):
    """The nearest of the three marks; a half-way share is the higher."""
    return min(LEVELS, key=lambda level: (abs(level - share), -level))


def main():
    """Measure and tell."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder")
    parser.add_argument("--mark-scheme", default="common")
    parser.add_argument("--list", action="store_true", help="print every difference")
    told = parser.parse_args()
    found = pairs(told.folder, told.mark_scheme)
    report(found)
    if told.list:
        for pair in found:
            if not pair.agrees:
                print(
                    f"\n{pair.file} {pair.test}.{pair.kind}: {pair.error}{'' if pair.sure else ' (unsure)'}"
                    f"\n  “{pair.written}” beside “{pair.beside}”\n  program: {pair.reason}\n  person: {pair.why}"
                )


def report(found):
    """Figures and tables."""
    for kind, goal in GOALS.items():
        mine = [p for p in found if p.kind == kind]
        right = sum(p.agrees for p in mine)
        print(f"{kind:12} {right:4} of {len(mine):4} {right / max(len(mine), 1):7.1%}  (goal {goal:.0%})")
    sure = [p for p in found if p.sure]
    print(f"kappa {kappa_of(found):.3f} (goal 0.93)")
    print(f"called sure {len(sure)} of {len(found)} {len(sure) / len(found):.1%} (goal 85 %)")
    print(f"agreement among sure {sum(p.agrees for p in sure) / max(len(sure), 1):.1%} (goal 98.5 %)")
    by_test = Counter((p.test, p.kind) for p in found if not p.agrees)
    print("differences by test:", ", ".join(f"{t}.{k} {n}" for (t, k), n in by_test.most_common()))
    print("given against suggested:")
    for (kind, error), count in sorted(Counter((p.kind, p.error) for p in found if not p.agrees).items()):
        print(f"  {kind:12} {error}: {count}")


if __name__ == "__main__":
    main()
