"""The fixed cast of the tests: one invented school, its people, and a second school that must see nothing."""

from types import SimpleNamespace

from examkit.models import Centre, Exam, Membership, Role, User

PASSWORD = "quiet copper kettle"
PEOPLE = {
    "teacher": (Role.TEACHER, "Tilda", "Marsh"),
    "assistant": (Role.ASSISTANT, "Lino", "Reed"),
    "examiner": (Role.EXAMINER, "Edda", "Fell"),
    "moderator": (Role.MODERATOR, "Moss", "Dale"),
    "invigilator": (Role.INVIGILATOR, "Ivo", "Gale"),
}


def make():
    """The school with one person for each role, and a stranger who teaches elsewhere."""
    centre = Centre.objects.create(name="Maple House School", slug="maple-house")
    elsewhere = Centre.objects.create(name="Far Hill College", slug="far-hill")
    people = {name: person(name, centre, role, first, last) for name, (role, first, last) in PEOPLE.items()}
    stranger = person("stranger", elsewhere, Role.TEACHER, "Stran", "Ger")
    return SimpleNamespace(centre=centre, elsewhere=elsewhere, stranger=stranger, **people)


def person(username, centre, role, first="", last=""):
    """A user with one role in the centre."""
    user = User.objects.create_user(username, password=PASSWORD, first_name=first, last_name=last)
    Membership.objects.create(centre=centre, user=user, role=role)
    return user


def exam(centre, name="Spring", **fields):
    """A draft exam of the shipped scheme, with nothing in it yet."""
    return Exam.objects.create(centre=centre, name=name, scheme="semimicro", mark_scheme="standard", **fields)
