"""`expect`: the expected record of a specimen."""

from django.utils.translation import gettext_lazy as _

from examkit.chemistry.expect import expect
from examkit.chemistry.formula import pretty, pretty_equation
from examkit.chemistry.observe import find_scheme
from examkit.chemistry.specimen import read_specimen
from examkit.knowledge import knowledge
from examkit.management.base import HouseCommand


class Command(HouseCommand):
    """What a candidate with this specimen should see at every test, and why."""

    help = _(
        "What a candidate with this specimen should see at every test of a scheme, and what it points to."
    )
    example = 'manage.py expect "Pb(NO3)2 + ZnCO3" --json'
    requires_system_checks = []  # no page is served: the answer comes in half the time

    def add_arguments(self, parser):
        """The specimen and the scheme."""
        parser.add_argument("specimen", help=_("formula or name; a mixture with ' + ' between its salts"))
        parser.add_argument(
            "--scheme", default="semimicro", help=_("scheme of analysis (default: semimicro)")
        )
        parser.add_argument("--json", action="store_true", help=_("one JSON document on standard output"))

    def handle(self, *args, **options):
        """Compute and print."""
        kb = knowledge()
        scheme = find_scheme(kb, options["scheme"])
        record = expect(kb, read_specimen(kb, options["specimen"], scheme.grams), scheme.key).as_json()
        if options["json"]:
            self.print_json(record)
        else:
            self.print_record(record)

    def print_record(self, record):
        """The record as lines for a person."""
        salts = " + ".join(f"{pretty(part['salt'])} {part['grams']} g" for part in record["specimen"])
        ions = ", ".join(map(pretty, record["cations"] + record["anions"]))
        self.stdout.write(f"{salts}   ({ions}; {record['scheme']}, edition {record['edition'][:12]})")
        for line in record["lines"]:
            self.stdout.write(f"\n{line['title']}{'' if line['done'] else ' (not done)'}\n  {line['text']}")
            for said, ions in (("points to", line["points_to"]), ("rules out", line["rules_out"])):
                if ions:
                    self.stdout.write(f"  {said} {', '.join(map(pretty, ions))}")
            for equation in line["equations"]:
                self.stdout.write(f"  {pretty_equation(equation)}")
            for found in line["equilibria"]:
                step = f", {found['step']}" if found["step"] not in ("", "reagent") else ""
                self.stdout.write(f"  = {pretty(found['ion'])}{step}: {found['state']}; {found['note']}")
            for caution in line["cautions"]:
                self.stdout.write(f"  ! {caution}")
