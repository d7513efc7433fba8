"""`check_knowledge`: everything that is wrong with the knowledge base, or what it holds and rests on."""

from django.conf import settings
from django.core.management.base import CommandError
from django.utils.translation import gettext_lazy as _

from examkit.chemistry.equilibria.disagreements import disagreements
from examkit.chemistry.errors import KnowledgeError
from examkit.chemistry.knowledge.load import load
from examkit.chemistry.knowledge.sources import counts, inferred, school_ions, unused_sources
from examkit.management.base import HouseCommand

COUNTED = (
    ("facts", "facts"),
    ("facts about ions", "ion_facts"),
    ("facts about the ions of the school syllabi", "school_ion_facts"),
)


def share(tally):
    """Per cent of facts that were read in a published source."""
    return 100 * tally["read"] / max(1, sum(tally.values()))


class Command(HouseCommand):
    """Reads every file anew, never the kept base."""

    help = _("Check the knowledge base: all problems at once with file and line, or what its facts rest on.")
    example = "manage.py check_knowledge --list"
    requires_system_checks = []  # no page is served: the answer comes in half the time

    def add_arguments(self, parser):
        """How to print."""
        parser.add_argument("--list", action="store_true", help=_("list ions, salts, tests and reagents"))
        parser.add_argument("--json", action="store_true", help=_("one JSON document on standard output"))

    def handle(self, *args, **options):
        """Load, and tell."""
        try:
            kb = load(settings.KNOWLEDGE_DIR)
        except KnowledgeError as error:
            if options["json"]:
                self.print_json({"problems": [str(problem) for problem in error.problems]})
            else:
                self.stderr.write(str(error))
            raise CommandError(
                _("%(n)s problems in the knowledge base") % {"n": len(error.problems)}
            ) from None
        report = summary(kb)
        if options["json"]:
            self.print_json(report)
        else:
            self.print_summary(kb, report, options["list"])

    def print_summary(self, kb, report, listing):
        """The counts, and on request the names."""
        self.stdout.write(f"Edition {report['edition'][:12]}: no problems.")
        self.stdout.write("  " + ", ".join(f"{n} {kind}" for kind, n in report["holds"].items()))
        for title, key in COUNTED:
            told = ", ".join(f"{n} {kind}" for kind, n in report[key].items())
            part = f"{share(report[key]):.0f} % read, {report['inferred'][key]} of them by inference only"
            self.stdout.write(f"  {title}: {told}; {part}")
        if report["unused_sources"]:
            self.stdout.write("  sources that nothing cites: " + ", ".join(report["unused_sources"]))
        self.print_equilibria(report["equilibria"])
        if listing:
            for kind in ("ions", "salts", "tests", "reagents", "schemes"):
                self.stdout.write(f"{kind}: {', '.join(getattr(kb, kind))}")


    def print_equilibria(self, schemes):
        """Where table and calculation disagree: settled ones counted, the others in full."""
        for scheme, found in schemes.items():
            open_ = [item["text"] for item in found if not item["settled"]]
            count = f"{len(found)} disagreements with the table, {len(open_)} not settled"
            self.stdout.write(f"  equilibria of {scheme}: {count}")
            for text in open_:
                self.stdout.write(f"    {text}")
            if open_:
                self.stdout.write("    Settle each by a source or a note in shared/constants/settled.yaml.")


def equilibria(kb):
    """{scheme: its disagreements between table and calculation}."""
    return {
        scheme.key: [
            {"text": str(item), "kind": item.kind, "settled": bool(item.settled)}
            for item in disagreements(kb, scheme)
        ]
        for scheme in kb.schemes.values()
    }


def summary(kb):
    """What the base holds and on what its facts rest."""
    kinds = ("sources", "ions", "salts", "tests", "reagents", "schemes", "mark_schemes", "refusals")
    return {
        "edition": kb.edition,
        "problems": [],
        "holds": {kind.replace("_", " "): len(getattr(kb, kind)) for kind in kinds},
        "facts": counts(kb),
        "ion_facts": counts(kb, kb.ions),
        "school_ion_facts": counts(kb, school_ions(kb)),
        "inferred": {
            "facts": inferred(kb),
            "ion_facts": inferred(kb, kb.ions),
            "school_ion_facts": inferred(kb, school_ions(kb)),
        },
        "unused_sources": unused_sources(kb),
        "equilibria": equilibria(kb),
    }
