"""The service worker: what it keeps, and what it must not put in anybody's way."""

import pytest
from tests.web.phones import Phone
from tests.web.scanning import open_scan, ready, until

from lidclock.web import files, render

KEPT_SCAN = "caches.match('/scan').then(one => one?.text())"
OTHER = f"/static/{'0' * 16}"


@pytest.fixture
def phone(browser, signal, house, tmp_path):
    found = Phone(browser, signal, house, tmp_path / "profile")
    yield found
    found.close()


def test_a_page_that_takes_long_is_waited_for(house, signal, phone):
    """What turns into nothing better: a report over a year takes its seconds."""
    house.prep("stew")
    page = phone.open()
    ready(page)
    signal.slow_s = 4.5
    page.goto("/report")

    assert page.url.endswith("/report")
    assert page.locator("h1").is_visible()


def test_a_kept_page_is_shown_where_the_signal_is_weak(house, signal, phone):
    house.prep("stew")
    page = phone.open()
    ready(page)
    signal.slow_s = 20
    page.goto("/scan")

    assert page.locator("#scan").is_visible()


def test_a_full_device_shows_what_is_so_and_not_what_was_kept(house, signal, phone):
    house.prep("stew")
    page = phone.open()
    ready(page)
    page.context.new_cdp_session(page).send(
        "Storage.overrideQuotaForOrigin",
        {"origin": signal.address, "quotaSize": 1},
    )
    house.prep("dal", count=3)
    seen = page.evaluate("async () => (await fetch('/api/v1/shelf')).json()")
    page.goto("/temperatures?fresh")

    assert len(seen["containers"]) == 4
    assert page.url.endswith("/temperatures?fresh")


def test_a_newer_page_runs_newer_scripts(phone, monkeypatch):
    page = phone.open()
    ready(page)
    asked = []
    given = files.Files.get_response

    async def noted(self, path, scope):
        asked.append(path)
        return await given(self, path, scope)

    monkeypatch.setattr(files.Files, "get_response", noted)
    open_scan(page)
    assert not any(path.endswith("page.js") for path in asked)

    monkeypatch.setattr(render, "address", lambda: OTHER)
    open_scan(page)

    names = {"page.js", "page.css", "scan.js", "queue.js"}
    assert names <= {path.split("/")[-1] for path in asked if path.startswith("0" * 16)}


def test_an_open_page_loads_anew_when_the_kitchen_has_newer_scripts(
    house, phone, monkeypatch
):
    house.prep("stew")
    page = phone.open()
    page.goto("/shelf")
    page.wait_for_selector("html[data-ready]")
    monkeypatch.setattr(render, "address", lambda: OTHER)
    house.prep("dal")

    page.wait_for_selector(f"head script[src^='{OTHER}/']", state="attached")


def test_without_a_signal_the_page_speaks_the_language_that_was_chosen_last(
    signal, phone
):
    page = phone.open()
    ready(page)
    page.goto("/language")
    page.get_by_role("button", name="Deutsch").click()
    page.wait_for_selector("html[lang=de]")
    until(
        page, "async () => /lang=.de/.test(await (await caches.match('/scan'))?.text())"
    )
    signal.cut()
    page.goto("/scan")

    assert page.get_attribute("html", "lang") == "de"


def test_where_no_page_is_kept_the_address_stays(signal, phone):
    """A display on a wall that is switched on before the kitchen's computer."""
    page = phone.open()
    ready(page)
    page.evaluate(
        """async () => { for (const name of await caches.keys())
            await (await caches.open(name)).delete("/scan"); }"""
    )
    signal.cut()
    with pytest.raises(Exception, match="ERR_FAILED"):
        page.goto("/shelf")
    # The browser puts up its own page only after it has told so.
    page.wait_for_url("chrome-error://**")
    page.wait_for_selector("body.neterror")
    signal.restore()
    page.reload()

    assert page.url.endswith("/shelf")
