"""The knowledge base as the running application sees it: loaded once, shared by all requests."""

from functools import cache

from django.conf import settings

from examkit.chemistry.knowledge.load import load

USUAL_SCHEME, USUAL_MARK_SCHEME = "semimicro", "common"  # what a form proposes first


@cache
def knowledge():
    """The knowledge base of `settings.KNOWLEDGE_DIR`; a checked one is kept under `settings.VAR_DIR`."""
    return load(settings.KNOWLEDGE_DIR, settings.VAR_DIR / "knowledge")
