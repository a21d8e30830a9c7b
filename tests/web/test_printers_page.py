"""Printers and label stock on the page: a real IPP printer, and two owners at once."""

from __future__ import annotations

import socket
from concurrent.futures import ThreadPoolExecutor

import pytest
from tests.web.pages import hidden_fields

from lidclock.app import printing
from lidclock.app.label_setup import choices
from lidclock.app.stock_words import said_title
from lidclock.domain.sentences import Sentence
from lidclock.labels import load_stock
from lidclock.labels.stock import list_stock
from lidclock.labels.stock_svg import picture
from unit.gateways.real_printers import (
    CONF,
    codes_in,
    free_port,
    real_printer,
    system_bus,
)
from unit.gateways.scripted import GET_PRINTER, STOPPED, Scripted, printer_is

STOCK = "roll-50x25"
PAGE = "/kitchen/printers"


@pytest.fixture(scope="module")
def bus():
    with system_bus() as environment:
        yield environment


@pytest.fixture
def printer(bus):
    with real_printer(bus, "-a", str(CONF)) as found:
        yield found


def of_kitchen(house):
    session = house.session()
    return session.kitchen.stock, printing.known_printers(session)


def form(client, marker, page=PAGE):
    return hidden_fields(client.get(page).text, PAGE, marker)


@pytest.fixture
def silent():
    """A printer that takes every call and never says a word, until it is unplugged."""
    with socket.create_server(("127.0.0.1", 0)) as listener:
        calls = []
        yield listener, calls
        for call in calls:
            call.close()


def test_every_stock_is_named_in_the_language_of_the_page(client):
    titles = {load_stock(name).title for name in list_stock()}
    client.cookies.set("lidclock_language", "de")
    page = client.get(PAGE).text

    assert len(titles) > 30
    assert not [title for title in titles if title in page]
    assert "US Letter-Bogen, 30 Etiketten zu 66,7 × 25,4 mm" in page
    assert "Endlosrolle, 62 mm breit, ein Etikett alle 40 mm" in page


@pytest.mark.parametrize(
    "title", ["left over from last year", "roll of 5.0 x 6 mm labels"]
)
def test_a_title_of_somebody_s_own_stands_as_it_is_written(title):
    assert said_title(title) == title
    assert not isinstance(said_title(title), Sentence)


def test_a_silent_printer_holds_up_nobody_else(house, client, silent):
    """However often somebody taps at it: each tap waits in a thread of the page."""
    listener, calls = silent
    (code,) = house.prep("stew")
    address = f"ipp://127.0.0.1:{listener.getsockname()[1]}/ipp/print"
    printing.add_printer(house.session(), "Mute", address)
    sent = hidden_fields(client.get(f"/labels?code={code}").text, "/labels/print")
    sent |= {"code": code, "printer": "Mute"}
    with ThreadPoolExecutor(printing.MOST_AT_ONCE) as taps:
        waiting = [
            taps.submit(client.post, "/labels/print", data=sent, timeout=60)
            for _ in range(printing.MOST_AT_ONCE)
        ]
        calls += [listener.accept()[0] for _ in waiting]
        one_more = client.post("/labels/print", data=sent)
        shelf = client.get("/shelf")
        while calls:
            calls.pop().close()
        listener.close()
        answers = [one.result() for one in waiting]

    assert one_more.status_code == 422
    assert "jobs wait for printers already" in one_more.text
    assert shelf.status_code == 200
    assert [one.status_code for one in answers] == [422] * printing.MOST_AT_ONCE
    # Whoever comes later is taken again.
    later = client.post("/labels/print", data=sent, timeout=60)
    assert "jobs wait for printers already" not in later.text


def test_an_owner_adds_a_printer_tests_it_and_prints_a_batch(house, phone, printer):
    (code,) = house.prep("stew")
    phone.goto("/kitchen")
    phone.get_by_role("link", name="Change printers and labels").click()
    phone.get_by_label("Name", exact=True).fill("Bench")
    phone.get_by_label("Address").fill(printer.address)
    phone.get_by_label("What lies in it").select_option(STOCK)
    phone.get_by_role("button", name="Add").click()
    phone.get_by_text("It answers: idle").wait_for()

    phone.get_by_role("button", name="Print a test label").click()
    phone.get_by_text("A test label is out.").wait_for()
    assert printer.arrived(1).startswith(b"%PDF")

    phone.goto(f"/labels?code={code}")
    phone.get_by_role("button", name="Print on Bench").click()
    phone.get_by_text("Noted: the labels are on the lids.").wait_for()
    (symbols,) = codes_in(printer.arrived(2))
    assert ("Code128", code) in symbols


@pytest.mark.parametrize(
    ("reasons", "says"),
    [
        (["media-empty-error"], "hat keine Etiketten mehr; legen Sie roll-50x25 ein"),
        (["cover-open-error"], "hat die Abdeckung offen; schließen Sie sie"),
    ],
)
def test_what_holds_a_printer_up_is_said_in_the_language_of_the_page(
    client, reasons, says
):
    with Scripted() as printer:
        printer.script = {GET_PRINTER: [printer_is(STOPPED, *reasons)]}
        sent = {**form(client, "address"), "name": "Bank", "stock": STOCK}
        client.post(PAGE, data={**sent, "address": printer.address})
        client.cookies.set("lidclock_language", "de")
        test = form(client, 'value="test"')
        page = client.post(PAGE, data=test)

    assert page.status_code == 422
    assert f"Bank {says} und drucken Sie noch einmal" in page.text


def test_a_printer_that_is_off_is_added_and_says_so(client):
    sent = form(client, "address")
    address = f"ipp://127.0.0.1:{free_port()}/ipp/print"
    page = client.post(PAGE, data={**sent, "name": "Attic", "address": address})

    assert page.status_code == 200
    assert "No answer:" in page.text
    assert "switch it on" in page.text


@pytest.mark.parametrize(
    "address",
    ["http://127.0.0.1/", "file:///etc/passwd", "ipp://", "javascript:alert(1)", "x"],
)
def test_no_other_address_than_a_printers_is_asked(house, client, address):
    sent = form(client, "address")
    page = client.post(PAGE, data={**sent, "name": "Odd", "address": address})

    assert page.status_code == 422
    assert "ipp://" in page.text
    assert of_kitchen(house)[1] == []
    # What was typed is still there.
    assert 'value="Odd"' in page.text


def test_one_printer_of_a_stock_is_the_usual_one(house, client):
    for name in ("Bench", "Office"):
        sent = form(client, "address")
        address = f"ipp://127.0.0.1:{free_port()}/ipp/print"
        client.post(
            PAGE, data={**sent, "name": name, "address": address, "usual": "yes"}
        )
    usual = {one.name: one.is_default for one in of_kitchen(house)[1]}
    assert usual == {"Bench": False, "Office": True}

    client.post(PAGE, data={**form(client, "Make it the usual"), "name": "Bench"})

    usual = {one.name: one.is_default for one in of_kitchen(house)[1]}
    assert usual == {"Bench": True, "Office": False}
    client.post(PAGE, data={**form(client, "Remove this"), "name": "Office"})
    assert [one.name for one in of_kitchen(house)[1]] == ["Bench"]


def test_other_labels_are_chosen_and_the_second_owner_is_told(house, client):
    first = form(client, "stock-choice")
    saved = client.post(PAGE, data={**first, "stock": STOCK})
    assert "Saved." in saved.text
    assert of_kitchen(house)[0] == STOCK

    second = client.post(PAGE, data={**first, "stock": "a4-3x8"})

    assert second.status_code == 409
    assert "somebody else changed this meanwhile" in second.text
    assert of_kitchen(house)[0] == STOCK


def test_every_stock_is_drawn_with_as_many_labels_as_it_has(house):
    for one in choices(house.session()):
        shown = one.stock.down if one.stock.kind == "sheet" else 3
        assert picture(one.stock).count("M") == one.stock.across * shown


def test_rounds_are_shown_alone(client):
    page = client.get(PAGE, params={"kind": "round"}).text
    shown = page[page.index('<ul class="stocks">') :]

    assert 'value="a4-round-40"' in shown
    assert 'value="letter-2x5"' not in shown


def test_programs_do_the_same(client):
    def api(method, path, **more):
        return client.request(method, f"/api/v1{path}", **more)

    address = f"ipp://127.0.0.1:{free_port()}/ipp/print"
    made = api("POST", "/printers", json={"name": "Bench", "address": address})
    assert made.status_code == 201
    assert api("GET", "/printers").json() == [made.json()]
    assert api("PUT", "/printers/Bench/usual").json()["usual"] is True
    dead = api("POST", "/printers/Bench/test")
    assert (dead.status_code, "switch it on" in dead.json()["error"]) == (422, True)
    assert api("DELETE", "/printers/Bench").status_code == 200
    assert api("DELETE", "/printers/Bench").status_code == 404
    kitchens = api("GET", "/stock").json()[0]
    assert kitchens["of_kitchen"] is True
    body = {"name": STOCK, "was": kitchens["name"]}
    assert api("PUT", "/stock", json=body).json()["name"] == STOCK
    assert api("PUT", "/stock", json=body).status_code == 409
