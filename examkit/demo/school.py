"""The demo's invented school and its people, with passwords that only this installation knows."""

import hashlib
import hmac

from django.conf import settings
from django.db import transaction

from examkit.errors import Refused
from examkit.models import Centre, Membership, Role, User

NAME, SLUG = "Alder Bridge School", "alder-bridge"
PEOPLE = (  # username, first name, last name, roles
    ("nell", "Nell", "Harrow", (Role.TEACHER,)),
    ("ossian", "Ossian", "Pike", (Role.ASSISTANT,)),
    ("wren", "Wren", "Calder", (Role.EXAMINER,)),
    ("tamsin", "Tamsin", "Rook", (Role.EXAMINER,)),
    ("idris", "Idris", "Vale", (Role.MODERATOR,)),
    ("orla", "Orla", "Finch", (Role.INVIGILATOR,)),
)
WORDS = """anchor basket beacon bridge bucket candle canvas carpet castle cellar circle cotton
    engine fabric falcon garden ginger hammer harbor island jacket kettle ladder lantern magnet marble market
    meadow mirror needle office orchard paddle parcel pencil pepper pillow planet pocket puzzle rabbit ribbon
    river rocket saddle sailor season shelter signal spring stable summer tailor temple thunder ticket timber
    tunnel valley violin wagon walnut winter""".split()


@transaction.atomic
def school():
    """The demo's centre with its people; made once, and their passwords set back to the demo's each time."""
    refuse_beside_real_data()
    centre, _made = Centre.objects.get_or_create(slug=SLUG, defaults={"name": NAME})
    for username, first, last, roles in PEOPLE:
        names = {"first_name": first, "last_name": last}
        user, _made = User.objects.get_or_create(username=username, defaults=names)
        if not user.check_password(password(username)):
            user.set_password(password(username))
            user.save()
        for role in roles:
            Membership.objects.get_or_create(centre=centre, user=user, role=role)
    return centre


def refuse_beside_real_data():
    """The demo's people and --reset must never come near a school's own data."""
    other = Centre.objects.exclude(slug=SLUG).first()
    if other:
        raise Refused(f"This database holds {other}, which is not the demo's. "
                      "Set EXAMKIT_VAR or DATABASE_URL to another place for the demo.")


def refuse_beside_the_demo():
    """A school's own people never share a database with the demo's, whose passwords were printed."""
    if not settings.DEMO and Centre.objects.filter(slug=SLUG).exists():
        raise Refused("This database holds the demo, whose sign-ins were printed. Set EXAMKIT_VAR or "
                      "DATABASE_URL to another place for your school.")


def password(username):
    """Five words from this installation's secret key: the same at every start, and unknown elsewhere."""
    digest = hmac.digest(settings.SECRET_KEY.encode(), f"demo:{username}".encode(), hashlib.sha256)
    return " ".join(WORDS[byte % len(WORDS)] for byte in digest[:5])


def sign_ins():
    """One line for each role: (role, username, password)."""
    return [(str(roles[0].label), username, password(username)) for username, _first, _last, roles in PEOPLE]
