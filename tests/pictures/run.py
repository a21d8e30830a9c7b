"""`make pages`: every page of the invented home kitchen, to look at.

Writes docs/images/pages and docs/pages.md; a minute or two with Debian's Chromium. The
clock is held, and the pages are those that the program has (kitchen_pages).
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from io import BytesIO
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from PIL import Image

from kitchen_pages import page_paths
from lidclock.app import meal_plan, transfer
from lidclock.app.recipe_book import add_recipe
from lidclock.app.session import Session
from lidclock.web.app import create_app
from page_server import served
from pictures.sheet import Shown, slug_of, whole_sheet

ROOT = Path(__file__).parents[2]
DOCS, SAMPLE = ROOT / "docs", ROOT / "sample_inventory" / "home.jsonl"
DOUGH = SAMPLE.with_name("bun-dough.toml")
# Tue 3 Nov 2026, 07:30 in New York: the kitchen at its best (sample_inventory).
NOW = datetime(2026, 11, 3, 12, 30, tzinfo=UTC)
SIZES = {"phone": (390, 844), "tablet": (820, 1180), "desk": (1280, 800)}
# Two pages more by night and in another script, as a phone shows them.
OTHERWISE = {
    "dark": {"color_scheme": "dark"},
    "arabic": {"locale": "ar"},
}
SEEN_OTHERWISE = ("/", "/shelf")
# A tub of the braised filling, and the act that filled the rice.
CODE, FILLED = "2MVC31F", "01a2128c-66bd-75ba-a1a1-dc1f4f3ea7b1"
QUESTIONS = (
    *("/shelf?q=bun", "/prep?food=braised+mushroom+filling"),
    "/prep/pack?food=aged+cheddar",
    *(f"/prep/filled?act={FILLED}", "/labels?code={code}"),
    *("/guidance?q=soup", "/guidance/compare?code={code}"),
    "/recipes/recipe?name=bun+dough&count=6&mass=300",
    "/recipes/write?name=bun+dough",
)
NOT_THERE = "/nowhere"
# Flat colours with letters on them: more are not seen.
_COLOURS = 24


@dataclass
class _House:
    """The kitchen as `page_paths` wants it."""

    path: Path
    address: str
    now: datetime = NOW


def main() -> int:
    """Take every picture anew; 1 where there is no Chromium."""
    chromium = shutil.which("chromium")
    if chromium is None:
        print("no chromium here: nothing was taken", file=sys.stderr)
        return 1
    with tempfile.TemporaryDirectory() as folder:
        path, fresh = Path(folder) / "home.db", Path(folder) / "pages"
        fresh.mkdir()
        _furnish(path)
        with served(create_app(path, clock=lambda: NOW)) as address:
            paths = page_paths(_House(path, address), {"left": CODE}, QUESTIONS)
            with _browser(chromium) as browser:
                shown = list(_taken(browser, address, paths, fresh))
        images = DOCS / "images" / "pages"
        shutil.rmtree(images, ignore_errors=True)
        shutil.copytree(fresh, images)
    (DOCS / "pages.md").write_text(whole_sheet(shown), "utf-8")
    total_kb = sum(one.stat().st_size for one in images.iterdir()) / 1e3
    print(f"{len(shown)} pages, {total_kb:,.0f} kB of pictures")
    return 0


def _furnish(path: Path) -> None:
    """The home kitchen of sample_inventory, a recipe, and a few meals ahead."""
    document = transfer.read_lines(SAMPLE.read_text("utf-8").splitlines(), SAMPLE.name)
    transfer.ensure_kitchen(path, document)
    session = Session.open(path, now=NOW, device="pictures")
    with session.write() as unit:
        transfer.import_document(unit, document)
    add_recipe(session, DOUGH.read_text("utf-8"), is_toml=True)
    for days, name, portions in ((0, "supper", 4), (2, "guests", 8)):
        at = NOW + timedelta(days=days, hours=11, minutes=30)
        items = [("braised mushroom filling", portions), ("bun dough", portions)]
        meal_plan.put_down(session, at, items, name=name)
    session.close()


@contextmanager
def _browser(chromium: str) -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as tool:
        browser = tool.chromium.launch(
            executable_path=chromium, args=["--no-sandbox", "--disable-gpu"]
        )
        yield browser
        browser.close()


def _taken(
    browser: Any, address: str, paths: list[str], folder: Path
) -> Iterator[Shown]:
    """Each page in each size; what only says that it wants to be asked is left out."""
    titles: dict[str, str] = {}
    files: dict[str, dict[str, str]] = {}
    kinds = {name: (size, {}, None) for name, size in SIZES.items()}
    for name, more in OTHERWISE.items():
        kinds[name] = (SIZES["phone"], more, SEEN_OTHERWISE)
    for kind, ((width, height), more, only) in kinds.items():
        options = {"viewport": {"width": width, "height": height}, **more}
        context = browser.new_context(base_url=address, **options)
        page = context.new_page()
        page.clock.set_fixed_time(NOW)
        for path in paths if only is None else only:
            answer = page.goto(path, wait_until="load")
            if answer.status != 200 and path != NOT_THERE:
                continue
            titles.setdefault(path, page.title())
            name = f"{slug_of(path)}-{kind}.png"
            files.setdefault(path, {})[kind] = name
            _keep(page.screenshot(animations="disabled"), folder / name)
        context.close()
    for path, names in files.items():
        yield Shown(path, titles[path], names)


def _keep(picture: bytes, file: Path) -> None:
    """The picture with few colours, as small as a PNG gets."""
    whole = Image.open(BytesIO(picture)).convert("RGB")
    flat = whole.quantize(_COLOURS, dither=Image.Dither.NONE)
    flat.save(file, "PNG", optimize=True)


if __name__ == "__main__":
    sys.exit(main())
