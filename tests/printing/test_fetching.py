"""Nothing is fetched, whatever a document asks for."""

import pytest

from examkit.printing import render as press
from tests.printing import readback

HOSTILE = """
<link rel=stylesheet href="http://example.org/a.css"><link rel=attachment href="file:///etc/passwd">
<style>@import url("http://example.org/b.css"); @font-face { font-family: x; src: url("http://example.org/f.woff") }
p { background: url("file:///etc/hostname"); font-family: x }</style>
<p>words</p><img src="http://example.org/i.png"><img src="file:///etc/passwd"><img src="data:image/png;base64,AAAA">
<object data="http://example.org/o.svg"></object><embed src="http://example.org/e.svg">
<svg xmlns="http://www.w3.org/2000/svg"><image href="http://example.org/s.png" width="9" height="9"/></svg>
"""


def test_every_attempt_is_refused_and_counted(monkeypatch):
    monkeypatch.setattr(press, "render_to_string", lambda *args: HOSTILE)
    made = press.render(None, "any.html", title="x")

    assert len(made.refused) >= 8
    assert b"root:" not in made.pdf
    assert [text.split()[0] for text in readback.text(made.pdf)] == ["words"]
    assert b"/EmbeddedFile" not in made.pdf


def test_a_font_of_the_tree_is_no_fetch_and_another_is():
    fetcher = press._fetcher()
    assert fetcher("font:DejaVuSans.ttf").read()[:4] == b"\0\1\0\0"

    with pytest.raises(ValueError, match="fetches nothing"):
        fetcher("font:../../../etc/passwd")
    assert fetcher.refused == ["font:../../../etc/passwd"]
