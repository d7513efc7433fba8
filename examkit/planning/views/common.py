"""What the pages share: running a service, and telling what it refuses in the reader's language."""

from django.contrib import messages
from django.utils.translation import gettext

from examkit.errors import ExamkitError
from examkit.planning.said import Said


def sentence(problem):
    """A sentence of the pure parts in the reader's language; other text as it is."""
    if isinstance(problem, Said):
        told = {name: sentence(value) if isinstance(value, Said) else value
                for name, value in problem.values.items()}
        return gettext(problem.text) % told
    return str(problem)


def sentences(error):
    """All that an error has to say."""
    if hasattr(error, "problems"):
        return [sentence(problem) for problem in error.problems]
    return str(error).splitlines()


def sent(request, name):
    """What a form sent in a field; a NUL, which PostgreSQL cannot hold, is made visible."""
    return request.POST.get(name, "").replace("\0", "\N{SYMBOL FOR NULL}")


def reason_of(request):
    """The reason that a form sent."""
    return sent(request, "reason")


def tried(service, /, **arguments):
    """Run a service: what it gives back, and what it refuses as sentences (none where it went through)."""
    try:
        return service(**arguments), []
    except ExamkitError as problem:
        return None, sentences(problem)


def attempt(request, service, /, **arguments):
    """Run a service; what it refuses becomes messages. Whether it went through."""
    _given, refused = tried(service, **arguments)
    tell(request, refused)
    return not refused


def attempt_on(form, service, /, **arguments):
    """Run a service; what it refuses stands on its form. Whether it went through."""
    _given, refused = tried(service, **arguments)
    if refused:
        form.add_error(None, refused)
    return not refused


def tell(request, refused):
    """Sentences of a refusal as messages."""
    for text in refused:
        messages.error(request, text)
