"""The base of our commands: an example in --help, one line for a mistake, JSON on request."""

import json
import sys

from django.core.management.base import BaseCommand, CommandError

from examkit.chemistry.errors import ChemistryError
from examkit.errors import ExamkitError


class HouseCommand(BaseCommand):
    """A command whose user's mistakes are one line on standard error and exit 1."""

    example = ""
    mistakes = (ExamkitError, ChemistryError)

    def create_parser(self, prog_name, subcommand, **kwargs):
        """The parser, with the example below the options, and its errors as ours."""
        self.help = str(self.help)  # argparse wraps the text, and takes no translation that still waits
        parser = super().create_parser(prog_name, subcommand, epilog=f"Example: {self.example}", **kwargs)
        if self._called_from_command_line:
            parser.error = self.refuse
        return parser

    def execute(self, *args, **options):
        """Run; our own errors become the command's one line."""
        try:
            return super().execute(*args, **options)
        except self.mistakes as problem:
            raise CommandError(" ".join(str(problem).split())) from problem

    def refuse(self, message):
        """The one line for words that cannot be understood."""
        print(f"{message}. See --help.", file=sys.stderr)
        sys.exit(1)

    def print_json(self, document):
        """One JSON document on standard output and nothing else."""
        self.stdout.write(json.dumps(document, ensure_ascii=False, indent=2))
