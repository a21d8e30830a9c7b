"""Every route of the application against a decision: who may ask for it.

A route that is added without one fails here, and so does a decision without a route.
"""

from __future__ import annotations

import re
import socket
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import httpx
import pytest

from lidclock.app import pairing, setup, visits
from lidclock.app.session import Session
from lidclock.domain.kitchens import Kitchen
from lidclock.web.app import Settings, create_app
from page_server import Visitor, served

NOW = datetime(2026, 11, 3, 12, 30, tzinfo=UTC)
STRANGER, KIOSK, HELPER, OWNER = ROLES = ("stranger", "kiosk", "helper", "owner")

# The first of ROLES that may; whoever comes after it may too.
READS = {
    STRANGER: """/login /pair /trust /trust/authority.crt /language /worker.js
        /manifest.webmanifest /calendar.ics /openapi.json""",
    KIOSK: "/ /shelf /api/v1/shelf /api/v1/card /api/v1/changes",
    HELPER: """/C/{code} /C/{code}/{label} /c/{code} /scan /prep /prep/pack /prep/adopt
        /prep/filled /labels /labels/sheet.pdf /labels/{code}.png /plan /plan/{name}
        /plan/{name}.pdf /guidance /guidance/compare /guidance/{category} /kitchen /more
        /alerts /switch /api/v1/containers/{code} /api/v1/places /api/v1/foods
        /stock-take /stock-take/end /report /report/weeks.svg /temperatures
        /temperatures/place /temperatures/drawing.svg /cooling /cooling/log
        /cooling/drawing.svg /api/v1/alerts /api/v1/stock-takes
        /api/v1/stock-takes/{count} /api/v1/recipes
        /api/v1/recipes/{name:path}/mix /api/v1/recipes/{name:path} /recipes
        /recipes/recipe /recipes/sheet.pdf
        /api/v1/report /api/v1/temperatures /api/v1/readings /api/v1/coolings
        /api/v1/coolings/{key} /api/v1/stock /api/v1/calendar /plan/occasion
        /plan/order /plan/order.pdf /api/v1/occasions /api/v1/occasions/amount
        /api/v1/order /trace /trace.pdf /c/{code}/trace /c/{code}/trace.pdf
        /api/v1/trace /slip /slip.pdf /api/v1/slip""",
    OWNER: "/people /devices /kitchen/printers /recipes/write /api/v1/printers",
}
WRITES = {
    STRANGER: "/login /pair /language /api/v1/pair",
    HELPER: """/card /c/{code} /c/{code}/allergens /undo /scan /scan/check /scan/photo
        /prep /labels/done
        /labels/print /switch /logout /api/v1/card /api/v1/events /alerts
        /api/v1/alerts /stock-take /stock-take/drop /stock-take/end
        /api/v1/stock-takes /api/v1/stock-takes/{count}/drop
        /api/v1/stock-takes/{count}/record /api/v1/stock-takes/{count}/scans
        /api/v1/stock-takes/{count}/undo /prep/weighed /api/v1/prep
        /api/v1/prep/{act}/weighed /temperatures /temperatures/reason
        /temperatures/strike /cooling /api/v1/readings /api/v1/coolings
        /plan/occasion /api/v1/occasions /api/v1/occasions/{act}/undo
        /api/v1/containers/{code}/allergens""",
    OWNER: """/kitchen /kitchen/places /people/add /people/change /people/remove
        /people/password /devices/offer /devices/revoke /plan/meals /plan/leave-out
        /kitchen/calendar /kitchen/printers /api/v1/calendar /api/v1/printers
        /api/v1/printers/{name}/test /recipes/write /recipes/remove
        /api/v1/recipes""",
}
PUTS = {
    OWNER: """/api/v1/printers/{name}/usual /api/v1/stock
        /api/v1/recipes/{name:path}"""
}
DELETES = {OWNER: "/api/v1/printers/{name} /api/v1/recipes/{name:path}"}
_TABLES = {"GET": READS, "POST": WRITES, "PUT": PUTS, "DELETE": DELETES}
DECIDED = {
    (method, path): role
    for method, table in _TABLES.items()
    for role, paths in table.items()
    for path in paths.split()
}
# What a role is told; a form that is stale, or lacks something, was let through to it.
_REFUSED = ("only to look at", "only an owner may", "log in again", "pair this device")


def methods(of: Any) -> Iterator[tuple[str, str]]:
    """Method and path of each route, of included routers too."""
    for route in of.routes:
        inner = getattr(route, "original_router", None)
        if inner is not None:
            yield from methods(inner)
        for method in getattr(route, "methods", None) or ():
            yield method, route.path


def routes(of: Any) -> Iterator[tuple[str, str]]:
    """The same; HEAD goes with GET."""
    for method, path in methods(of):
        yield ("GET" if method == "HEAD" else method), path


@pytest.fixture(scope="module")
def locked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Visitor]]:
    """A kitchen that is served to a network, and one visitor of each role."""
    path: Path = tmp_path_factory.mktemp("roles") / "kitchen.db"
    setup.init_kitchen(path, Kitchen("", "Test kitchen", "America/New_York"))
    app = create_app(path, Settings(is_open=False), clock=lambda: NOW)
    session = Session.open(path, now=NOW)
    with served(app) as address:
        visitors = {role: Visitor(base_url=address) for role in ROLES}
        for role in (KIOSK, HELPER):
            secret = pairing.offer_pairing(session, role).secret
            visitors[role].submit("/pair", "/pair", secret=secret, name=role)
        with session.write() as unit:
            entry = visits.begin(unit, OWNER, NOW + visits.OF_PASSWORD)
        visitors[OWNER].cookies.set("lidclock_visit", entry.token)
        yield visitors
        for one in visitors.values():
            one.close()
    session.close()


def test_every_route_has_its_decision(tmp_path):
    path = tmp_path / "kitchen.db"
    setup.init_kitchen(path, Kitchen("", "Test kitchen", "UTC"))
    app = create_app(path)
    found = set(routes(app))
    app.state.house.close()

    assert found == set(DECIDED)


def test_head_works_wherever_get_does(tmp_path):
    """RFC 9110, 9.1: all general-purpose servers support both."""
    path = tmp_path / "kitchen.db"
    setup.init_kitchen(path, Kitchen("", "Test kitchen", "UTC"))
    app = create_app(path)
    by_method: dict[str, set[str]] = {"GET": set(), "HEAD": set()}
    for method, place in methods(app):
        by_method.setdefault(method, set()).add(place)
    app.state.house.close()

    assert by_method["GET"]
    assert by_method["GET"] - by_method["HEAD"] == set()


@pytest.mark.parametrize("role", ROLES)
def test_each_role_is_let_through_to_what_was_decided_and_no_further(locked, role):
    rank, let_through = ROLES.index(role), {}
    # What ends the visit comes last.
    for method, path in sorted(DECIDED, key=lambda one: one[1] in ("/logout", "/pair")):
        if path != "/api/v1/changes" or method != "GET":
            let_through[method, path] = _is_let_through(locked[role], method, path)

    assert let_through == {
        one: rank >= ROLES.index(DECIDED[one]) for one in let_through
    }


def test_a_stream_of_changes_is_for_those_who_see_the_card(locked):
    statuses = {}
    for role in ROLES:
        with locked[role].stream("HEAD", "/api/v1/changes") as answer:
            statuses[role] = answer.status_code

    assert statuses == {STRANGER: 401, KIOSK: 200, HELPER: 200, OWNER: 200}


@pytest.mark.parametrize("role", [STRANGER, KIOSK, HELPER])
@pytest.mark.parametrize(
    "target",
    [
        *("/people%3f", "/people%23", "//people", "/people;x", "/shelf/../people"),
        *("/shelf%2f..%2fpeople", "http://localhost/people", "people", "/PEOPLE"),
    ],
)
def test_no_spelling_of_an_address_is_a_way_round(locked, role, target):
    """Sent as it stands, which a browser would tidy up."""
    visitor = locked[role]
    cookies = "; ".join(f"{name}={value}" for name, value in visitor.cookies.items())
    asked = f"GET {target} HTTP/1.1\r\nHost: localhost\r\nCookie: {cookies}\r\n\r\n"
    with socket.create_connection(
        (visitor.base_url.host, visitor.base_url.port), timeout=10
    ) as line:
        line.sendall(asked.encode())
        first = line.recv(4000).splitlines()[0]

    assert first.split()[1] in (b"303", b"307", b"400", b"403", b"404")


def _is_let_through(visitor: Visitor, method: str, path: str) -> bool:
    asked = re.sub(r"\{[^}]+\}", "1", path)
    answer = visitor.request(method, asked)
    assert answer.status_code < 500, (method, path)
    return not _is_refused(answer)


def _is_refused(answer: httpx.Response) -> bool:
    if answer.headers.get("location", "").startswith("/login"):
        return True
    is_no = answer.status_code in (401, 403)
    return is_no and any(words in answer.text for words in _REFUSED)
