"""Release and results in a real Chromium: no barriers, light and dark, phone and desk."""

import pytest
from django.urls import reverse


@pytest.mark.parametrize("look", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_the_pages_of_the_results_have_no_barriers(
    marked, entered, teacher, moderator, open_page, no_barriers, look, width
):
    options = {"color_scheme": look, "viewport": {"width": width, "height": 800}}
    for who, paths in (
        (teacher, ["index", "results", ("sheet", entered.code)]),
        (moderator, ["records", ("record", entered.code)]),
    ):
        page = open_page(who, **options)
        for path in paths:
            name, *more = (path,) if isinstance(path, str) else path
            page.goto(reverse(f"moderation:{name}", args=[marked.pk, *more]))
            no_barriers(page)
