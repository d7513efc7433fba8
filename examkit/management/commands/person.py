"""Give a person a role in a centre; makes the centre and the person where they are new."""

import getpass
import sys

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import CommandError
from django.db import transaction
from django.utils.text import slugify

from examkit import audit
from examkit.demo.school import refuse_beside_the_demo
from examkit.management.base import HouseCommand
from examkit.models import Centre, Membership, Role, User


class Command(HouseCommand):
    """How the first people of a school come in."""

    help = "Give a person a role in a centre. A new person's password is asked for, or read from a pipe."
    example = 'manage.py person t.marsh --name "Tilda Marsh" --centre "Maple House School" --role teacher'

    def add_arguments(self, parser):
        """Who, where, as what."""
        parser.add_argument("username")
        parser.add_argument("--name", default="", help="first and last name")
        parser.add_argument("--centre", required=True, help="name of the school")
        parser.add_argument("--role", required=True, action="append", choices=Role.values,
                            help="may be given more than once")

    @transaction.atomic
    def handle(self, *, username, name, centre, role, **options):
        """Make what is missing and note it in the trail."""
        refuse_beside_the_demo()
        user = User.objects.filter(username=username).first() or new_person(username, name)
        centre = Centre.objects.filter(name=centre).first() or new_centre(centre)
        for each in role:
            Membership.objects.get_or_create(centre=centre, user=user, role=each)
        audit.record(centre=centre, who="command line", what="role given", about=username,
                     detail={"roles": role})
        self.stdout.write(f"{user} is {', '.join(role)} at {centre}.")


def new_centre(name):
    """A new centre; its slug is its name's, with a number where another centre has that."""
    base = slugify(name)[:40] or "centre"
    taken = set(Centre.objects.filter(slug__startswith=base).values_list("slug", flat=True))
    slug = next(s for s in (base, *(f"{base}-{n}" for n in range(2, len(taken) + 3))) if s not in taken)
    return Centre.objects.create(name=name, slug=slug)


def new_person(username, name):
    """A new user with a password that the rules accept."""
    first, _space, last = name.partition(" ")
    user = User(username=username, first_name=first, last_name=last)
    password = getpass.getpass("Password: ") if sys.stdin.isatty() else sys.stdin.readline().rstrip("\n")
    try:
        user.clean_fields(exclude=["password"])
        validate_password(password, user)
    except ValidationError as problem:
        raise CommandError(" ".join(problem.messages)) from problem
    user.set_password(password)
    user.save()
    return user
