"""The planner as a Django app, with the checks that a set-up is whole."""

from django.apps import AppConfig
from django.conf import settings
from django.contrib.staticfiles import finders
from django.core.checks import Error, register
from django.utils.translation import gettext_lazy as _

FONTS = ("LinLibertine_R.woff2", "LinBiolinum_R.woff2", "DejaVuSans.ttf", "DejaVuSans-Bold.ttf")


class ExamkitConfig(AppConfig):
    """Planning, stock room, printing, and the house around them."""

    name = "examkit"
    label = "examkit"
    verbose_name = _("practical exam")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self):
        """The checks; reading the whole knowledge base is for `check --deploy`, not for every start."""
        register(knowledge_loads, deploy=True)
        register(fonts_are_there)


def knowledge_loads(app_configs, **options):
    """Error E001 where the knowledge base does not load."""
    from examkit.chemistry.errors import ChemistryError  # the engine is not needed to start
    from examkit.chemistry.knowledge.load import load

    try:
        load(settings.KNOWLEDGE_DIR)
    except ChemistryError as problem:
        first = str(problem).splitlines()[0]
        hint = "python manage.py check_knowledge"
        return [Error(f"{settings.KNOWLEDGE_DIR} does not load: {first}", hint=hint, id="examkit.E001")]
    return []


def fonts_are_there(app_configs, **options):
    """Error E002 where a font of ours is missing: pages and sheets would be set in whatever there is."""
    missing = [font for font in FONTS if not finders.find(f"examkit/fonts/{font}")]
    if not missing:
        return []
    hint = "Restore examkit/static/examkit/fonts/ from the release."
    return [Error(f"Fonts are missing: {', '.join(missing)}.", hint=hint, id="examkit.E002")]
