"""Who is let in at the page, and what each may do there."""

import json
import re
import shutil
import sqlite3
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import httpx
import pytest
from fastapi import Request

from lidclock.app import pairing, people, prep, setup, transfer, visits
from lidclock.app.feed import feed_since
from lidclock.app.prep import Order
from lidclock.app.session import Fact, Session
from lidclock.app.temp_page import readings_of
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.store.people import People
from lidclock.web.app import Settings, create_app
from lidclock.web.people import OPEN, safe_next, source_of
from page_server import Visitor, served

NOW = datetime(2026, 11, 3, 12, 30, tzinfo=UTC)
PASSWORD = "three warm brown loaves"
SECRET = re.compile(r'class="code">([a-z2-7-]+)<')


@dataclass
class Locked:
    """A kitchen that is served to a network: whoever comes has to be let in."""

    path: Path
    now: datetime = NOW
    address: str = ""
    opened: list[Any] = field(default_factory=list)

    def settings(self) -> Settings:
        return Settings(is_open=False)

    def session(self) -> Session:
        session = Session.open(self.path, now=self.now, device="test")
        self.opened.append(session)
        return session

    def visitor(self, **more: Any) -> Visitor:
        visitor = Visitor(base_url=self.address, **more)
        self.opened.append(visitor)
        return visitor

    def owner(self) -> Visitor:
        """Somebody whom the password let in; the slow hash is left to other tests."""
        session = self.session()
        with session.write() as unit:
            entry = visits.begin(unit, "owner", self.now + visits.OF_PASSWORD)
        return self.visitor(cookies={"lidclock_visit": entry.token})

    def paired(self, whose: str = "shared") -> Visitor:
        """A device that an owner paired."""
        role = "kiosk" if whose == "wall" else "helper"
        person = "" if whose in ("shared", "wall") else self.id_of(whose)
        offer = pairing.offer_pairing(self.session(), role, person)
        visitor = self.visitor()
        answer = visitor.submit("/pair", "/pair", secret=offer.secret, name="tablet")
        assert answer.status_code == 303
        return visitor

    def id_of(self, handle: str) -> str:
        """The id of a person."""
        everybody = people.list_people(self.session())
        return next(one.id for one in everybody if one.handle == handle)

    def close(self) -> None:
        for one in self.opened:
            one.close()


@pytest.fixture(scope="session")
def peopled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A kitchen with a password, an owner and a helper, made once."""
    path = tmp_path_factory.mktemp("peopled") / "kitchen.db"
    setup.init_kitchen(path, Kitchen("", "Test kitchen", "America/New_York"))
    session = Session.open(path, now=NOW)
    people.set_password(session, PASSWORD)
    people.add_person(session, "Ilse", "owner", "7392")
    people.add_person(session, "Ben", "helper", "4826")
    session.close()
    return path


@pytest.fixture
def locked(peopled: Path, tmp_path: Path) -> Iterator[Locked]:
    path = tmp_path / "kitchen.db"
    shutil.copy(peopled, path)
    found = Locked(path)
    app = create_app(path, found.settings(), clock=lambda: found.now)
    with served(app) as found.address:
        yield found
        found.close()


def switch(visitor: Visitor, locked: Locked, handle: str, code: str) -> httpx.Response:
    return visitor.submit("/switch", "/switch", to=locked.id_of(handle), code=code)


# Strangers


def test_a_stranger_sees_no_page_and_does_nothing(locked):
    """Every route there is, so that one added later is closed too."""
    app = create_app(locked.path, locked.settings())
    paths = {
        (method, re.sub(r"\{[^}]+\}", "1", route.path))
        for route in _routes(app)
        for method in route.methods - {"HEAD"}
        if route.path not in {*OPEN, "/trust/authority.crt", "/openapi.json"}
    }
    stranger = locked.visitor()
    answers = {
        (method, path): stranger.request(method, path).status_code
        for method, path in paths
    }

    assert len(answers) > 10
    assert {*answers.values()} <= {303, 401, 403}
    assert all(
        code == (401 if path.startswith("/api/") else 303)
        for (method, path), code in answers.items()
        if method == "GET"
    )


def _routes(app: Any) -> Iterator[Any]:
    """Every route with its methods, of included routers too."""
    for route in app.routes:
        if getattr(route, "methods", None) and hasattr(route, "path"):
            yield route
        inner = getattr(route, "original_router", None) or getattr(
            route, "router", None
        )
        if inner is not None:
            yield from _routes(inner)


def test_a_stranger_is_led_to_the_login_and_back(locked):
    stranger = locked.visitor()
    answer = stranger.get("/shelf?by=food")
    page = stranger.get(answer.headers["location"])
    token = re.search(r'name="csrf" value="([^"]+)"', page.text)[1]
    onward = re.search(r'name="next" value="([^"]+)"', page.text)[1]
    entered = stranger.post(
        "/login", data={"csrf": token, "next": onward, "password": PASSWORD}
    )

    assert answer.headers["location"] == "/login?next=/shelf%3Fby%3Dfood"
    assert entered.headers["location"] == "/shelf?by=food"
    assert stranger.get("/shelf").status_code == 200


def test_a_calendar_program_is_not_led_to_a_login(locked):
    """It knows the calendar's own secret or finds nothing."""
    assert locked.visitor().get("/calendar.ics").status_code == 404


@pytest.mark.parametrize(
    "text",
    [
        *("//evil.example", "/\\evil.example", "https://evil.example", "", "shelf"),
        *("/a\r\nSet-Cookie: x=1", "/\t/evil.example", "/" + "a" * 300, "/é"),
    ],
)
def test_nobody_is_led_elsewhere(text):
    assert safe_next(text) == "/"


def test_a_link_from_another_app_is_asked_once_more(locked):
    """A strict cookie stays behind on such a link; the page itself brings it along."""
    away = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate"}
    stranger, owner = locked.visitor(), locked.owner()
    first = stranger.get("/c/4F7K2M0", headers=away)
    again = stranger.get("/c/4F7K2M0", headers={"sec-fetch-site": "same-origin"})

    assert (first.status_code, again.status_code) == (200, 303)
    assert first.headers["refresh"] == "0"
    assert owner.get("/shelf", headers=away).status_code == 200


# The password


def test_the_password_lets_an_owner_in(locked):
    owner = locked.visitor()
    owner.submit("/login", "/login", password=PASSWORD)

    assert "Test kitchen" in owner.get("/").text
    assert owner.get("/people").status_code == 200


def test_a_wrong_password_is_counted_and_five_are_enough(locked):
    stranger = locked.visitor()
    answers = [
        stranger.submit("/login", "/login", password=f"wrong words {number}")
        for number in range(5)
    ]
    sixth = stranger.submit("/login", "/login", password=PASSWORD)

    assert [one.status_code for one in answers] == [403] * 5
    assert "4 more tries" in answers[0].text
    assert "1 more try " in answers[3].text
    assert sixth.status_code == 429
    assert sixth.headers["retry-after"] == "60"


def test_a_restart_forgives_nothing_but_time_does(locked):
    stranger = locked.visitor()
    for number in range(6):
        stranger.submit("/login", "/login", password=f"wrong words {number}")
    app = create_app(locked.path, locked.settings(), clock=lambda: locked.now)
    with served(app) as address, Visitor(base_url=address) as again:
        refused = again.submit("/login", "/login", password=PASSWORD)
        locked.now += timedelta(seconds=61)
        entered = again.submit("/login", "/login", password=PASSWORD)

    assert refused.status_code == 429
    assert entered.status_code == 303


def test_many_tries_at_once_are_not_one(locked):
    """Each is counted before it is looked at."""
    answers: list[int] = []

    def knock() -> None:
        with Visitor(base_url=locked.address, timeout=60) as one:
            answer = one.submit("/login", "/login", password="wrong words")
            answers.append(answer.status_code)

    threads = [threading.Thread(target=knock) for _ in range(12)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()

    assert sorted(answers) == [403] * 5 + [429] * 7


def test_a_visit_of_the_password_ends_after_twelve_hours(locked):
    owner = locked.owner()
    locked.now += timedelta(hours=11, minutes=59)
    before = owner.get("/").status_code
    locked.now += timedelta(minutes=1)

    assert (before, owner.get("/").status_code) == (200, 303)


def test_a_new_password_ends_the_visits_of_the_old_one(locked):
    owner, tablet = locked.owner(), locked.paired()
    people.set_password(locked.session(), "another four brown loaves")

    assert owner.get("/").status_code == 303
    assert tablet.get("/").status_code == 200


def test_the_two_passwords_must_agree(locked):
    answer = locked.owner().submit(
        *("/people", "/people/password"), password="long enough", again="long enougH"
    )

    assert answer.status_code == 422
    assert people.is_password(locked.session(), PASSWORD)


@pytest.mark.parametrize(
    ("host", "source"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("::ffff:192.0.2.7", "192.0.2.7"),
        ("2001:db8::1", "2001:db8::/64"),
        ("2001:db8::ffff:1", "2001:db8::/64"),
        ("testclient", "unknown"),
    ],
)
def test_who_knocks_from_one_network_of_ipv6_is_one(host, source):
    """A single machine there has 2^64 addresses to try from."""
    request = Request({"type": "http", "client": (host, 1), "headers": []})

    assert source_of(request) == source


# Visits, cookies, forms


def test_the_cookie_is_for_this_site_and_no_script(locked):
    visitor = locked.visitor()
    answer = visitor.submit("/login", "/login", password=PASSWORD)
    cookie = answer.headers["set-cookie"].lower()

    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert "path=/" in cookie
    assert "domain" not in cookie


def test_a_token_foisted_beforehand_is_not_taken(locked):
    visitor = locked.visitor(cookies={"lidclock_visit": "A" * 43})
    visitor.submit("/login", "/login", password=PASSWORD)
    thief = locked.visitor(cookies={"lidclock_visit": "A" * 43})

    assert thief.get("/").status_code == 303


def test_the_token_changes_when_somebody_takes_over(locked):
    tablet = locked.paired()
    before = tablet.cookies["lidclock_visit"]
    switch(tablet, locked, "Ben", "4826")
    after = tablet.cookies["lidclock_visit"]
    old = locked.visitor(cookies={"lidclock_visit": before})

    assert before != after
    assert old.get("/").status_code == 303
    assert tablet.get("/").status_code == 200


def test_no_token_password_or_code_lies_in_the_database_or_an_export(locked):
    tablet = locked.paired()
    switch(tablet, locked, "Ben", "4826")
    offer = pairing.offer_pairing(locked.session())
    token = tablet.cookies["lidclock_visit"]
    session = locked.session()
    with session.read() as unit:
        exported = "\n".join(transfer.export_lines(unit))
    wal = locked.path.with_name(locked.path.name + "-wal")
    stored = locked.path.read_bytes() + (wal.read_bytes() if wal.exists() else b"")

    for secret in (token, PASSWORD, offer.secret, offer.secret.replace("-", "")):
        assert secret.encode() not in stored
        assert secret not in exported
    assert "scrypt" not in exported


@pytest.mark.parametrize(
    "token",
    ["", "A" * 43, "A" * 5000, "é", "' OR 1=1 --", "..", "\x01"],
    ids=["empty", "unknown", "huge", "letters", "sql", "dots", "control"],
)
def test_a_wrong_token_is_nobody(locked, token):
    stranger = locked.visitor(headers={"cookie": f"lidclock_visit={token}".encode()})

    assert stranger.get("/").status_code in (303, 400)


def test_the_cookie_of_another_kitchen_is_nobody_here(locked, peopled, tmp_path):
    other = tmp_path / "other.db"
    shutil.copy(peopled, other)
    app = create_app(other, locked.settings(), clock=lambda: NOW)
    with served(app) as address, Visitor(base_url=address) as elsewhere:
        elsewhere.submit("/login", "/login", password=PASSWORD)
        here = locked.visitor(cookies=dict(elsewhere.cookies))

        assert elsewhere.get("/").status_code == 200
        assert here.get("/").status_code == 303


def test_a_form_of_a_former_visit_is_stale(locked):
    tablet = locked.paired()
    before = tablet.token_at("/switch")
    switch(tablet, locked, "Ben", "4826")
    cookie = {"csrf": before}
    tablet.cookies.set("lidclock_form", before)

    assert tablet.post("/logout", data=cookie).status_code == 403


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [
        ("GET", "/nowhere", 404),
        ("GET", "/static/none.css", 404),
        ("GET", "/favicon.ico", 404),
        ("PUT", "/scan", 405),
    ],
)
def test_what_is_not_there_leaves_open_forms_good(locked, method, path, status):
    """Browsers ask for icons by themselves, and people mistype addresses."""
    owner = locked.owner()
    token = owner.token_at("/people")
    answer = owner.request(method, path)
    form = {"csrf": token, "handle": "Cleo"}

    assert answer.status_code == status
    assert "set-cookie" not in answer.headers
    assert owner.post("/people/add", data=form).status_code == 303


def test_a_form_cookie_that_was_foisted_is_refused(locked):
    """Cookies know no ports: another service of this host may set one."""
    owner = locked.owner()
    owner.cookies.set("lidclock_form", "foisted")
    alone = owner.post("/people/add", data={"csrf": "foisted", "handle": "Eve"})
    owner.cookies.set("lidclock_form", "foisted.0000")
    marked = owner.post("/people/add", data={"csrf": "foisted.0000", "handle": "Eve"})

    assert (alone.status_code, marked.status_code) == (403, 403)
    assert "Eve" not in [one.handle for one in people.list_people(locked.session())]


# Where a request comes from


@pytest.mark.parametrize(
    ("headers", "code"),
    [
        ({"origin": "https://evil.example"}, 403),
        ({"origin": "null"}, 403),
        ({"origin": "http://127.0.0.1:1"}, 403),
        ({"sec-fetch-site": "cross-site"}, 403),
        ({"sec-fetch-site": "same-site"}, 403),
        ({"sec-fetch-site": "same-origin"}, 303),
        ({}, 303),
    ],
)
def test_a_form_must_come_from_this_site(locked, headers, code):
    owner = locked.owner()
    token = owner.token_at("/people")
    answer = owner.post(
        "/people/add", data={"csrf": token, "handle": "Mo"}, headers=headers
    )

    assert answer.status_code == code


def test_a_form_with_the_right_origin_is_taken(locked):
    owner = locked.owner()
    token = owner.token_at("/people")
    headers = {"origin": locked.address}
    data = {"csrf": token, "handle": "Mo"}

    assert owner.post("/people/add", data=data, headers=headers).status_code == 303


def test_a_picture_in_another_page_gets_nothing(locked):
    away = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors"}

    assert locked.owner().get("/shelf", headers=away).status_code == 403


@pytest.mark.parametrize(
    "host",
    [
        *("evil.example", "evil.example:8420", "127.0.0.1.evil.example", "2130706433"),
        *("localhost@evil.example", "localhost/..", "[::1", "", "a" * 300, "127.0.0.2"),
    ],
)
def test_a_foreign_host_is_not_answered(locked, host):
    answer = locked.visitor().get("/login", headers={"host": host})

    assert answer.status_code in (400, 421)
    assert "Log in" not in answer.text
    assert "evil" not in answer.text


@pytest.mark.parametrize(
    "host", ["localhost", "LOCALHOST:80", "127.0.0.1:1", "[::1]:8", "localhost."]
)
def test_a_host_of_its_own_is_answered(locked, host):
    assert locked.visitor().get("/login", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "raw",
    [
        b"GET /login HTTP/1.1\r\nHost: localhost\r\nHost: evil.example\r\n\r\n",
        b"GET /login HTTP/1.1\r\nX: a\r\n\r\n",
        b"GET http://evil.example/login HTTP/1.1\r\nHost: evil.example\r\n\r\n",
    ],
    ids=["two hosts", "no host", "whole address"],
)
def test_odd_heads_are_refused(locked, raw):
    assert _first_line(locked, raw).split()[1] in ("400", "421")


def _first_line(locked: Locked, raw: bytes) -> str:
    import socket

    host, port = locked.address.removeprefix("http://").split(":")
    with socket.create_connection((host, int(port)), timeout=10) as line:
        line.sendall(raw)
        return line.recv(4000).decode("latin-1").splitlines()[0]


def test_a_huge_form_is_refused_before_it_is_read(locked):
    stranger = locked.visitor()
    said = stranger.post("/login", content=b"x" * 20_000)

    def pieces() -> Iterator[bytes]:
        for _ in range(20):
            yield b"password=" + b"x" * 1000

    form = {"content-type": "application/x-www-form-urlencoded"}
    unsaid = stranger.post("/login", content=pieces(), headers=form)

    assert (said.status_code, unsaid.status_code) == (413, 413)


def test_on_loopback_alone_nobody_is_asked_but_other_sites_are_refused(client):
    passed_on = client.get("/", headers={"x-forwarded-for": "192.0.2.9"})
    rebound = client.get("/", headers={"host": "evil.example"})
    foreign = client.post("/people/add", headers={"origin": "https://evil.example"})

    assert client.get("/people").status_code == 200
    assert passed_on.status_code == 403
    assert rebound.status_code == 421
    assert foreign.status_code == 403


# Switching


def test_a_code_says_who_records(locked):
    tablet = locked.paired()
    nobody = locked.visitor(cookies=dict(tablet.cookies)).get("/switch").text
    answer = switch(tablet, locked, "Ben", "4826")

    assert answer.status_code == 303
    assert "Nobody is named here" in nobody
    assert "Now here: <strong>Ben</strong>" in tablet.get("/switch").text


def test_what_is_recorded_bears_the_handle_and_the_device(locked):
    from lidclock.app import prep
    from lidclock.domain.foods import Food

    session = locked.session()
    made = NOW - timedelta(days=3)
    order = prep.Order(
        *(Food("stew", "soup-stew", ()), 1),
        portion_g=300,
        made_at=made,
        place=session.place("Fridge"),
    )
    with session.write() as unit:
        prep.prep(unit, order)
    tablet = locked.paired()
    switch(tablet, locked, "Ben", "4826")
    key = re.search(r'name="key" value="([^"]+)"', tablet.get("/").text)[1]
    tablet.submit("/", "/card", key=key, answer="accept")
    with session.read() as unit:
        facts = {(event.who, event.device) for event in unit.ledger.all() if event.who}

    assert facts == {("Ben", "tablet")}


def test_a_helper_records_but_does_not_govern(locked):
    tablet = locked.paired()
    switch(tablet, locked, "Ben", "4826")

    eve = tablet.submit("/switch", "/people/add", handle="Eve")
    offer = tablet.submit("/switch", "/devices/offer", whose="shared")

    assert tablet.get("/shelf").status_code == 200
    assert tablet.get("/people").status_code == 403
    assert [eve.status_code, offer.status_code] == [403, 403]
    assert "only an owner" in eve.text
    assert "Eve" not in [one.handle for one in people.list_people(locked.session())]


def test_a_helper_records_temperatures(locked):
    tablet = locked.paired()
    switch(tablet, locked, "Ben", "4826")
    path = "/temperatures"
    typed = tablet.submit(path, path, place="Fridge", temp="3.5")
    sent = tablet.post("/api/v1/coolings", json={"of": "1", "do": "vent"})

    assert typed.status_code in (200, 303)
    assert sent.status_code == 404
    (one,) = readings_of(locked.session(), "Fridge", timedelta(days=1))
    assert (one.temp_c, one.who, one.device) == (3.5, "Ben", "tablet")


def test_an_owner_takes_over_and_leaves_no_powers_behind(locked):
    tablet = locked.paired()
    switch(tablet, locked, "Ilse", "7392")
    governs = tablet.get("/people").status_code
    tablet.submit("/switch", "/logout")

    assert governs == 200
    assert tablet.get("/people").status_code == 403
    assert tablet.get("/shelf").status_code == 200


def test_who_came_by_the_password_gives_it_up_by_switching(locked):
    owner = locked.owner()
    switch(owner, locked, "Ben", "4826")
    refused = owner.get("/people").status_code
    owner.submit("/switch", "/logout")

    assert refused == 403
    assert owner.get("/shelf").status_code == 303


def test_five_wrong_codes_lock_a_person_on_every_device(locked):
    one, other = locked.paired(), locked.paired()
    codes = [switch(one, locked, "Ben", f"000{n}").status_code for n in range(3)]
    codes += [switch(other, locked, "Ben", f"001{n}").status_code for n in range(2)]
    right = switch(one, locked, "Ben", "4826")
    another = switch(one, locked, "Ilse", "7392")

    assert codes == [403] * 5
    assert right.status_code == 429
    assert "wait 60 s" in right.text
    assert another.status_code == 303


def test_the_wait_doubles(locked):
    tablet = locked.paired()
    waits = []
    for number in range(8):
        switch(tablet, locked, "Ben", f"100{number}")
        answer = switch(tablet, locked, "Ben", "4826") if number >= 4 else None
        if answer is not None:
            waits.append(int(answer.headers["retry-after"]))
            locked.now += timedelta(seconds=waits[-1])

    assert waits == [60, 120, 240, 480]


def test_a_removed_person_is_out_and_their_facts_stay(locked):
    phone, tablet = locked.paired("Ben"), locked.paired()
    switch(tablet, locked, "Ben", "4826")
    people.remove_person(locked.session(), locked.id_of("Ben"))

    assert phone.get("/").status_code == 303
    assert tablet.get("/").status_code == 303
    assert [one.name for one in pairing.list_devices(locked.session())] == ["tablet"]


def test_a_new_role_holds_at_once(locked):
    phone = locked.paired("Ben")
    before = phone.get("/people").status_code
    people.change_person(locked.session(), locked.id_of("Ben"), role="owner")

    assert (before, phone.get("/people").status_code) == (403, 200)


def test_a_renamed_person_stays_where_they_are(locked):
    phone = locked.paired("Ben")
    people.change_person(locked.session(), locked.id_of("Ben"), handle="Benno")

    assert "<strong>Benno</strong>" in phone.get("/switch").text


@pytest.mark.parametrize(
    ("handle", "says"),
    [
        ("", "cannot be a handle"),
        ("x" * 25, "cannot be a handle"),
        ("x" * 15_000, "cannot be a handle"),
        ("a\u202eb", "cannot be a handle"),
        ("a\x00b", "cannot be a handle"),
        ("ben", "already"),
    ],
    ids=["empty", "long", "huge", "turned", "control", "twin"],
)
def test_a_bad_handle_is_refused_with_words(locked, handle, says):
    answer = locked.owner().submit("/people", "/people/add", handle=handle)

    assert answer.status_code == (409 if says == "already" else 422)
    assert says in answer.text


@pytest.mark.parametrize(
    "code", ["12", "12345", "abcd", "1111", "3456", "9876", "٣٤٥٦"]
)
def test_a_bad_code_is_refused_with_words(locked, code):
    answer = locked.owner().submit("/people", "/people/add", handle="Mo", code=code)

    assert answer.status_code == 422
    assert "code" in answer.text


def test_html_in_a_handle_stays_text(locked):
    owner = locked.owner()
    added = owner.submit("/people", "/people/add", handle="<img src=x onerror=1>")
    page = owner.get("/people").text

    assert added.status_code == 303
    assert "<img" not in page
    assert "&lt;img src=x" in page


# Pairing


def test_a_device_is_paired_once_by_what_the_owner_sees(locked):
    owner = locked.owner()
    page = owner.submit("/devices", "/devices/offer", whose=locked.id_of("Ben"))
    secret = SECRET.search(page.text)[1]
    phone, late = locked.visitor(), locked.visitor()
    first = phone.submit("/pair", "/pair", secret=secret, name="Ben's phone")
    second = late.submit("/pair", "/pair", secret=secret, name="thief")

    assert first.status_code == 303
    assert secret not in first.headers["location"]
    assert "<strong>Ben</strong>" in phone.get("/switch").text
    assert second.status_code == 403
    assert "not valid, or not any more" in second.text
    assert "Ben&#39;s phone" in owner.get("/devices").text


def test_the_secret_stands_behind_the_number_sign_only(locked):
    page = locked.owner().submit("/devices", "/devices/offer", whose="shared").text
    secret = SECRET.search(page)[1]

    assert f'href="{locked.address}' not in page
    assert f"?{secret}" not in page
    assert f"/pair/{secret}" not in page
    assert page.count(secret) == 1


def test_the_symbol_leads_to_the_pairing(locked):
    """Read by another library than the one that drew it."""
    from PIL import Image, ImageDraw
    from zxingcpp import read_barcodes

    page = locked.owner().submit("/devices", "/devices/offer", whose="shared").text
    secret = SECRET.search(page)[1]
    side = int(re.search(r'viewBox="0 0 (\d+)', page)[1])
    image = Image.new("L", (side, side), 255)
    pen = ImageDraw.Draw(image)
    for left, top, wide in _strokes(
        re.search(r'class="qrline"[^>]* d="([^"]+)"', page)[1]
    ):
        pen.rectangle([left * 6, top * 6, (left + wide) * 6 - 1, top * 6 + 5], fill=0)

    assert read_barcodes(image)[0].text == f"{locked.address}/pair#{secret}"


def _strokes(path: str) -> Iterator[tuple[int, int, int]]:
    """Horizontal strokes of an SVG path: moves, relative and absolute, and lines."""
    x, y = 0.0, 0.0
    for kind, numbers in re.findall(r"([Mmh])([-0-9. ]+)", path):
        values = [float(one) for one in re.findall(r"-?[0-9.]+", numbers)]
        if kind == "M":
            x, y = values
        elif kind == "m":
            x, y = x + values[0], y + values[1]
        else:
            yield int(x), int(y), int(values[0])
            x += values[0]


def test_a_pairing_lasts_ten_minutes(locked):
    offer = pairing.offer_pairing(locked.session())
    locked.now += timedelta(minutes=10)
    late = locked.visitor().submit("/pair", "/pair", secret=offer.secret)

    assert late.status_code == 403


def test_a_pairing_for_somebody_who_is_gone_is_worth_nothing(locked):
    ben = locked.id_of("Ben")
    offer = pairing.offer_pairing(locked.session(), person_id=ben)
    people.remove_person(locked.session(), ben)
    late = locked.visitor().submit("/pair", "/pair", secret=offer.secret)

    assert late.status_code == 403
    assert pairing.list_devices(locked.session()) == []


def test_a_visit_falls_with_what_it_stands_on(locked):
    """Also where only the row went, as in a database that was put together by hand."""
    phone, ben = locked.paired("Ben"), locked.id_of("Ben")
    session = locked.session()
    with session.write() as unit:
        People(unit.connection, session.kitchen.id).remove(ben)

    assert phone.get("/").status_code == 303


def test_of_two_that_pair_at_once_one_gets_in(locked):
    offer = pairing.offer_pairing(locked.session())
    answers: list[int] = []
    visitors = [locked.visitor(timeout=60) for _ in range(4)]
    tokens = [one.token_at("/pair") for one in visitors]

    def pair(visitor: Visitor, token: str) -> None:
        data = {"csrf": token, "secret": offer.secret, "name": "x"}
        answers.append(visitor.post("/pair", data=data).status_code)

    threads = [
        threading.Thread(target=pair, args=one)
        for one in zip(visitors, tokens, strict=True)
    ]
    for one in threads:
        one.start()
    for one in threads:
        one.join()

    assert sorted(answers) == [303, 403, 403, 403]
    assert len(pairing.list_devices(locked.session())) == 1


def test_a_revoked_device_is_out(locked):
    owner, tablet = locked.owner(), locked.paired()
    (device,) = pairing.list_devices(locked.session())
    owner.submit("/devices", "/devices/revoke", id=device.id)
    again = owner.submit("/devices", "/devices/revoke", id=device.id)

    assert tablet.get("/").status_code == 303
    assert again.status_code == 404


# Longer than it takes to be cut off, shorter than a silent stream says it is there.
CUT_OFF_S = 8


def hears(visitor: Visitor, **more: Any) -> Iterator[str]:
    """The lines of a visitor's stream of changes; a line too late is a failure."""
    with visitor.stream("GET", "/api/v1/changes", timeout=CUT_OFF_S, **more) as answer:
        assert answer.status_code == 200
        yield from answer.iter_lines()


def told(lines: Iterator[str]) -> None:
    assert any(line == "event: change" for line in lines)


def test_a_revoked_device_hears_nothing_more(locked):
    owner, tablet, other = locked.owner(), locked.paired(), locked.paired("wall")
    cut, kept = hears(tablet), hears(other)
    told(cut)
    told(kept)
    device = min(pairing.list_devices(locked.session()), key=lambda one: one.role)
    assert device.role == "helper"
    owner.submit("/devices", "/devices/revoke", id=device.id)

    list(cut)  # it ends
    with locked.session().write() as unit:
        unit.record([Fact("noted", "plan/kitchen", {"choices": {}})])
    told(kept)  # and nobody else's does
    kept.close()


def test_a_page_of_a_revoked_device_goes_away_by_itself(locked, browser):
    """A display on the wall shows the kitchen until somebody revokes it."""
    wall = locked.paired("wall")
    context = browser.new_context(base_url=locked.address)
    token = wall.cookies["lidclock_visit"]
    context.add_cookies(
        [{"name": "lidclock_visit", "value": token, "url": locked.address}]
    )
    page = context.new_page()
    page.goto("/shelf")
    page.wait_for_function("performance.getEntriesByType('resource').length > 0")
    (device,) = pairing.list_devices(locked.session())
    pairing.revoke(locked.session(), device.id)

    # Cut off within three seconds; the browser asks again after two, and is refused.
    page.wait_for_url("**/login**")
    context.close()


@pytest.mark.parametrize("how", ["logged out", "new password", "twelve hours"])
def test_an_ended_visit_hears_nothing_more(locked, how):
    owner = locked.owner()
    lines = hears(owner)
    told(lines)
    if how == "logged out":
        owner.submit("/switch", "/logout")
    elif how == "new password":
        people.set_password(locked.session(), "another warm brown loaf")
    else:
        locked.now += timedelta(hours=12)

    list(lines)


@pytest.mark.parametrize("gone", ["device", "person"])
def test_a_program_that_is_gone_hears_nothing_more(locked, gone):
    offer = pairing.offer_pairing(locked.session(), person_id=locked.id_of("Ben"))
    token = pairing.pair_program(
        locked.session(), pairing.Knock(offer.secret, "scale", "here")
    )
    program = locked.visitor()
    lines = hears(program, headers={"authorization": f"Bearer {token}"})
    told(lines)
    session = locked.session()
    if gone == "device":
        (device,) = pairing.list_devices(session)
        pairing.revoke(session, device.id)
    else:
        ben = locked.id_of("Ben")
        with session.write() as unit:
            People(unit.connection, session.kitchen.id).remove(ben)

    list(lines)


def test_a_device_that_nobody_picks_up_is_forgotten_after_a_season(locked):
    tablet, used = locked.paired(), locked.paired()
    locked.now += timedelta(days=89)
    assert used.get("/").status_code == 200
    locked.now += timedelta(days=2)

    assert tablet.get("/").status_code == 303
    assert used.get("/").status_code == 200


def test_who_comes_back_is_let_in_while_another_program_writes(locked):
    """When a device was last seen can be written down the next time."""
    tablet = locked.paired()
    locked.now += timedelta(minutes=11)
    other = sqlite3.connect(locked.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    meanwhile = tablet.get("/shelf").status_code
    other.close()
    seen_at = [one.seen_at for one in pairing.list_devices(locked.session())]
    tablet.get("/shelf")

    assert meanwhile == 200
    assert seen_at == [NOW]
    assert [x.seen_at for x in pairing.list_devices(locked.session())] == [locked.now]


def test_a_program_bears_a_token(locked):
    offer = pairing.offer_pairing(locked.session(), person_id=locked.id_of("Ben"))
    program = locked.visitor()
    wish = {"secret": offer.secret, "name": "scale"}
    paired = program.post("/api/v1/pair", json=wish)
    bearer = {"authorization": f"Bearer {paired.json()['token']}"}
    replayed = program.post("/api/v1/pair", json=wish)

    assert paired.status_code == 201
    assert program.get("/shelf", headers=bearer).status_code == 200
    assert program.get("/people", headers=bearer).status_code == 403
    assert replayed.status_code == 403
    (device,) = pairing.list_devices(locked.session())
    pairing.revoke(locked.session(), device.id)
    stale = program.get("/shelf", headers=bearer)
    assert stale.status_code == 401
    assert stale.headers["www-authenticate"] == "Bearer"


@pytest.mark.parametrize(
    "bearer", ["Bearer", "Bearer x", "Basic YTpi", "Bearer " + "x" * 9000, "Bearer é"]
)
def test_a_bad_bearer_is_nobody_even_on_loopback(client, bearer):
    head = {"authorization": bearer.encode("utf-8")}

    assert client.get("/", headers=head).status_code == 401


def test_a_helper_answers_alerts_and_does_not_see_the_calendars_address(locked):
    helper, owner = locked.paired("Ben"), locked.owner()
    session = locked.session()
    with session.write() as unit:
        order = Order(
            Food("stew", "soup-stew", ()),
            1,
            place=session.place("Fridge"),
            made_at=locked.now - timedelta(days=9),
        )
        prep.prep(unit, order)
    (alert,) = helper.get("/api/v1/alerts").json()
    helper.submit("/alerts", "/alerts", key=alert["key"], answer="mine")
    (alert,) = owner.get("/api/v1/alerts").json()

    assert (alert["answer"], alert["answered_by"]) == ("mine", "Ben")
    assert "<bdi>Ben</bdi>" in owner.get("/alerts").text
    assert "/kitchen/calendar" in owner.get("/kitchen").text
    assert "/kitchen/calendar" not in helper.get("/kitchen").text
    made = helper.submit("/alerts", "/kitchen/calendar", do="make")
    by_program = helper.post("/api/v1/calendar", json={"do": "make"})
    assert (made.status_code, by_program.status_code) == (403, 403)
    assert feed_since(session) is None


def test_a_display_on_the_wall_answers_no_alert(locked):
    wall = locked.paired("wall")
    told = {"key": "x", "answer": "mine"}

    assert wall.get("/alerts").status_code == 403
    assert wall.get("/api/v1/alerts").status_code == 403
    assert wall.post("/alerts", data=told).status_code == 403
    assert wall.post("/api/v1/alerts", json=told).status_code == 403


def test_a_display_on_the_wall_is_only_to_look_at(locked):
    wall = locked.paired("wall")
    looked = [wall.get(path).status_code for path in ("/", "/shelf")]
    refused = [
        wall.get(path).status_code for path in ("/people", "/c/4F7K2M0", "/switch")
    ]
    posted = [wall.post(path).status_code for path in ("/card", "/logout", "/switch")]

    assert looked == [200, 200]
    assert refused == [403] * 3
    assert posted == [403] * 3
    assert "Ben" not in wall.get("/").text
    assert "Ilse" not in wall.get("/shelf").text


def test_nothing_on_a_wall_leads_to_what_it_may_not_show(locked):
    """Who brushes against it must not leave it at a refusal until a person comes."""
    wall = locked.paired("wall")
    pages = [wall.get(path).text for path in ("/", "/shelf")]
    parts = [page[page.index("<main") :] for page in pages]
    refused = wall.get("/people").text

    for part in parts:
        assert set(re.findall('href="(.*?)"', part)) <= {"/", "/shelf"}
        assert "<form" not in part.replace('<form method="get" action="/shelf"', "")
    assert '<meta http-equiv="refresh" content="20;url=/">' in refused


# What every answer carries


@pytest.mark.parametrize(
    ("method", "path", "code"),
    [
        ("GET", "/", 200),
        ("HEAD", "/people", 200),
        ("GET", "/nowhere", 404),
        ("DELETE", "/", 405),
        ("GET", "/static/page.css", 200),
        ("HEAD", "/static/page.css", 200),
        ("GET", "/static/nothing.css", 404),
        ("GET", "/c/nonsense", 404),
        ("POST", "/people/add", 403),
        ("POST", "/api/v1/pair", 422),
        ("GET", "/broken", 500),
        ("GET", "/trust/authority.crt", 404),
    ],
)
def test_every_answer_is_marked(locked, method, path, code):
    app = create_app(locked.path, clock=lambda: NOW)

    @app.get("/broken")
    def broken() -> None:
        raise ZeroDivisionError("secret of the house")

    with served(app) as address, httpx.Client(base_url=address) as client:
        answer = client.request(method, path)

    assert answer.status_code == code
    assert "script-src 'self'" in answer.headers["content-security-policy"]
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["referrer-policy"] == "same-origin"
    assert answer.headers["cross-origin-resource-policy"] == "same-origin"
    assert "secret of the house" not in answer.text
    assert "server" not in answer.headers or answer.headers["server"] == "uvicorn"
    is_file = path == "/static/page.css"
    assert answer.headers["cache-control"] == ("no-cache" if is_file else "no-store")


def test_a_refused_host_is_marked_too(locked):
    answer = locked.visitor().get("/", headers={"host": "evil.example"})

    assert "default-src 'none'" in answer.headers["content-security-policy"]
    assert answer.headers["cache-control"] == "no-store"


def test_a_secret_is_compared_in_constant_time():
    """Promised for every comparison of secrets; only reading the code can tell."""
    import inspect

    from lidclock.app import passwords
    from lidclock.web import forms

    for module in (passwords, forms):
        text = inspect.getsource(module)
        assert "compare_digest" in text
        assert not re.search(r"(token|key|mark|csrf|kept)\s*==", text)


# In a browser


def test_a_phone_pairs_by_the_code_behind_the_number_sign(locked, browser):
    offer = pairing.offer_pairing(locked.session(), person_id=locked.id_of("Ben"))
    asked: list[str] = []
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{locked.address}/pair#{offer.secret}")
    page.wait_for_function("document.querySelector('#secret').value !== ''")
    shown = page.url
    page.get_by_label("What is this device called?").fill("phone")
    page.get_by_role("button", name="Pair").click()
    page.wait_for_url(f"{locked.address}/")
    page.goto(f"{locked.address}/switch")
    words = page.inner_text("main")
    cookie = json.dumps(page.evaluate("document.cookie"))
    context.close()

    assert shown == f"{locked.address}/pair"
    assert "Now here: Ben" in words
    assert cookie == '""'
    assert not [one for one in asked if offer.secret in one.partition("#")[0]]


def test_a_tablet_switches_with_the_keyboard_only(locked, browser):
    tablet = locked.paired()
    context = browser.new_context(base_url=locked.address)
    token = tablet.cookies["lidclock_visit"]
    context.add_cookies(
        [{"name": "lidclock_visit", "value": token, "url": locked.address}]
    )
    page = context.new_page()
    page.goto("/switch")
    page.get_by_label("Ben").focus()
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.type("4826")
    page.keyboard.press("Enter")
    page.wait_for_url("**/")
    page.goto("/switch")
    words = page.inner_text("main")
    context.close()

    assert "Now here: Ben" in words


def test_a_page_without_a_form_brings_the_token_for_the_next_one(client):
    """A worker asks for pages at the same moment: each would bring another token."""
    assert "lidclock_form" not in client.cookies

    client.get("/guidance")
    first = client.cookies["lidclock_form"]
    client.get("/prep?food=stew")

    assert client.cookies["lidclock_form"] == first
