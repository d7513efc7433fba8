"""What the pages share: sentences of a refusal, in the reader's language."""

from django.contrib import messages
from django.utils.translation import gettext

from examkit.errors import ExamkitError
from examkit.planning.said import Said


def sentence(problem):
    """A sentence of the pure parts in the reader's language; other text as it is."""
    if isinstance(problem, Said):
        return gettext(problem.text) % problem.values
    return str(problem)


def sentences(error):
    """All that an error has to say."""
    if hasattr(error, "problems"):
        return [sentence(problem) for problem in error.problems]
    return str(error).splitlines()


def reason_of(request):
    """The reason that a form sent; a NUL, which PostgreSQL cannot hold, is made visible."""
    return request.POST.get("reason", "").replace("\0", "\N{SYMBOL FOR NULL}")


def attempt(request, service, **arguments):
    """Run a service; what it refuses becomes messages. Whether it went through."""
    try:
        service(**arguments)
    except ExamkitError as problem:
        for text in sentences(problem):
            messages.error(request, text)
        return False
    return True
