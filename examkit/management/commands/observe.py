"""`observe`: what one ion or salt shows in one test."""

from django.utils.translation import gettext_lazy as _

from examkit.chemistry.formula import pretty, pretty_equation
from examkit.chemistry.observe import observe
from examkit.knowledge import knowledge
from examkit.management.base import HouseCommand


class Command(HouseCommand):
    """One test, one subject: what is seen, what it points to, where that was read."""

    help = _("What an ion or a salt shows in a test, what it points to and rules out, with sources.")
    example = "manage.py observe naoh Zn2+ --json"
    requires_system_checks = []  # no page is served: the answer comes in half the time

    def add_arguments(self, parser):
        """The test, its subject and the scheme."""
        parser.add_argument("test", help=_("id of a test, such as naoh or group-2"))
        parser.add_argument("subject", help=_("an ion or a salt, by formula or name"))
        parser.add_argument(
            "--scheme", default="semimicro", help=_("scheme of analysis (default: semimicro)")
        )
        parser.add_argument("--json", action="store_true", help=_("one JSON document on standard output"))

    def handle(self, *args, **options):
        """Compute and print."""
        seen = observe(knowledge(), options["test"], options["subject"], options["scheme"])
        if options["json"]:
            self.print_json(seen.as_json())
            return
        self.stdout.write(f"{seen.test}, {pretty(seen.subject)}: {seen.text}")
        for said, ions in (("points to", seen.points_to), ("rules out", seen.rules_out)):
            if ions:
                self.stdout.write(f"  {said} {', '.join(map(pretty, ions))}")
        for other in seen.also_accepted:
            self.stdout.write(f"  also accepted: {other['text']} [{'; '.join(other['sources'])}]")
        for equation in seen.equations:
            self.stdout.write(f"  {pretty_equation(equation)}")
        for line in (*seen.remarks, *seen.sources):
            self.stdout.write(f"  {line}")
