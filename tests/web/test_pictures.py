"""The pictures of the pages: all that the document shows are there, and no others."""

import re
from pathlib import Path

import pytest

from pictures.sheet import Shown, slug_of, whole_sheet

DOCS = Path(__file__).parents[2] / "docs"
PICTURES = DOCS / "images" / "pages"
MOST_BYTES, MOST_BYTES_IN_ALL = 60_000, 2_500_000


@pytest.mark.parametrize(
    ("path", "slug"),
    [
        ("/", "card"),
        ("/guidance?q=soup", "guidance-q-soup"),
        ("/c/2MVC31F", "c-2MVC31F"),
        ("/prep/filled?act=01a2128c-6664-733d-9e5f-bfb4b4eef068", "prep-filled-act"),
    ],
)
def test_a_page_is_a_file_by_its_address(path, slug):
    assert slug_of(path) == slug


def test_the_document_shows_each_page_in_every_size():
    shown = Shown("/shelf", "Shelf, Home", {"phone": "a.png", "desk": "b.png"})

    assert whole_sheet([shown]).endswith(
        "## Shelf, Home\n\n`/shelf`\n\n"
        "![Shelf, Home: phone](images/pages/a.png)\n"
        "![Shelf, Home: desk](images/pages/b.png)\n"
    )


def test_what_the_document_shows_is_there_and_small():
    text = (DOCS / "pages.md").read_text("utf-8")
    told = set(re.findall(r"\(images/pages/([^)]+)\)", text))
    sizes = {one.name: one.stat().st_size for one in PICTURES.iterdir()}

    assert told == set(sizes)
    assert max(sizes.values()) < MOST_BYTES
    assert sum(sizes.values()) < MOST_BYTES_IN_ALL
