"""The API against its own description: generated requests, never a fault of ours.

Few examples, always the same ones; more with SCHEMA_EXAMPLES.
"""

from __future__ import annotations

import json
import os
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from lidclock.app import prep
from lidclock.app.device_events import KINDS as KINDS_OF_DEVICES
from lidclock.app.session import Session
from lidclock.domain.foods import Food
from lidclock.web.app import create_app

MORNING = datetime(2026, 11, 3, 14, 30, tzinfo=UTC)
JSON = {"content-type": "application/json"}
FEW = int(os.environ.get("SCHEMA_EXAMPLES", "10"))
OPERATIONS = [
    ("GET", "/api/v1/shelf"),
    ("GET", "/api/v1/containers/{code}"),
    ("GET", "/api/v1/places"),
    ("GET", "/api/v1/foods"),
    ("GET", "/api/v1/card"),
    ("POST", "/api/v1/card"),
    ("POST", "/api/v1/events"),
    ("GET", "/api/v1/temperatures"),
    ("GET", "/api/v1/readings"),
    ("POST", "/api/v1/readings"),
    ("GET", "/api/v1/coolings"),
    ("GET", "/api/v1/coolings/{key}"),
    ("POST", "/api/v1/coolings"),
    ("POST", "/api/v1/pair"),
    ("GET", "/api/v1/printers"),
    ("POST", "/api/v1/printers"),
    ("DELETE", "/api/v1/printers/{name}"),
    ("PUT", "/api/v1/printers/{name}/usual"),
    ("POST", "/api/v1/printers/{name}/test"),
    ("GET", "/api/v1/stock"),
    ("PUT", "/api/v1/stock"),
    ("GET", "/api/v1/alerts"),
    ("POST", "/api/v1/alerts"),
    ("GET", "/api/v1/calendar"),
    ("POST", "/api/v1/calendar"),
    ("GET", "/calendar.ics"),
    ("GET", "/api/v1/recipes"),
    ("GET", "/api/v1/recipes/{name}/mix"),
    ("POST", "/api/v1/recipes"),
    ("GET", "/api/v1/recipes/{name}"),
    ("PUT", "/api/v1/recipes/{name}"),
    ("DELETE", "/api/v1/recipes/{name}"),
    ("POST", "/api/v1/prep"),
    ("POST", "/api/v1/prep/{act}/weighed"),
    ("GET", "/api/v1/report"),
    ("GET", "/api/v1/trace"),
    ("GET", "/api/v1/slip"),
    ("POST", "/api/v1/containers/{code}/allergens"),
    ("GET", "/api/v1/stock-takes"),
    ("POST", "/api/v1/stock-takes"),
    ("GET", "/api/v1/stock-takes/{count}"),
    ("POST", "/api/v1/stock-takes/{count}/scans"),
    ("POST", "/api/v1/stock-takes/{count}/record"),
    ("POST", "/api/v1/stock-takes/{count}/drop"),
    ("POST", "/api/v1/stock-takes/{count}/undo"),
    ("GET", "/api/v1/occasions"),
    ("GET", "/api/v1/occasions/amount"),
    ("POST", "/api/v1/occasions"),
    ("POST", "/api/v1/occasions/{act}/undo"),
    ("GET", "/api/v1/order"),
]
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]


@pytest.mark.parametrize(("method", "path"), OPERATIONS)
def test_generated_requests_meet_no_fault(house, method, path):
    house.prep("stew", count=2, days_ago=3)
    schema = schemathesis.openapi.from_url(f"{house.address}/openapi.json")
    operation = schema[path][method]

    @settings(
        max_examples=FEW,
        derandomize=True,
        deadline=None,
        database=None,
        phases=[Phase.explicit, Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(operation.as_strategy())
    def run(case):
        case.call_and_validate(checks=CHECKS)

    run()


HOSTILE = ["Freezer", "\ud800", "x" * 300, "\u202e12"]
TEXTS = st.one_of(st.text(max_size=12), st.sampled_from(HOSTILE))
NUMBERS = st.one_of(
    st.integers(-(2**70), 2**70), st.floats(allow_nan=False, allow_infinity=False)
)
TIMES = st.one_of(
    st.datetimes(timezones=st.just(UTC)).map(datetime.isoformat),
    st.sampled_from(
        [*("0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-12:00", "2026-11-03")]
    ),
    st.integers(0, 5000).map(lambda n: (MORNING - timedelta(minutes=n)).isoformat()),
)
KINDS = sorted(KINDS_OF_DEVICES)


def events(codes: list[str], ids: list[str]) -> st.SearchStrategy[dict[str, Any]]:
    """What a device might tell, some of it true: of these codes, after these events."""
    values = st.one_of(TEXTS, NUMBERS, TIMES, st.sampled_from([*ids, True, None]))
    keys = ("place", "state", "temp_c", "ready_at", "reason", "to", "mass_g", "x")
    undone = st.fixed_dictionaries(
        {"event": st.sampled_from(ids), "void": st.just(value=True)}
    )
    bodies = st.dictionaries(st.sampled_from(keys), values, max_size=3)
    return st.fixed_dictionaries(
        {
            "id": st.integers(0, 40).map(lambda n: f"{n:08x}-0000-7000-8000-{n:012x}"),
            "kind": st.sampled_from([*KINDS, *KINDS, "made", "noted"]),
            "subject": st.sampled_from([*codes, *codes, "4F7K2M1"]),
            "happened_at": TIMES,
            "body": st.one_of(bodies, undone, st.just({}), NUMBERS),
        }
    )


def test_generated_events_are_each_judged_and_meet_no_fault(house, client):
    """Of containers that the page itself filled: then the device is the same."""
    session = Session.open(house.path, now=house.now, device="page")
    house.sessions.append(session)
    order = prep.Order(Food("stew", "soup-stew", ()), 3, place=session.place("Fridge"))
    with session.write() as unit:
        codes = prep.prep(unit, order).codes
        ids = [event.id for event in unit.ledger.all()]
    house.now += timedelta(hours=2)
    told = {"recorded": 0, "known": 0, "refused": 0}
    # Of what is drawn from everything one in sixty is recorded.
    likely = st.builds(
        lambda n, kind, code, minutes: {
            "id": f"{n:08x}-0000-7000-8000-{n:012x}",
            "kind": kind,
            "subject": code,
            "happened_at": (house.now - timedelta(minutes=minutes)).isoformat(),
            "body": {},
        },
        st.integers(0, 40),
        st.sampled_from(["opened", "used", "missing"]),
        st.sampled_from(codes),
        st.integers(0, 60),
    )

    @settings(max_examples=5 * FEW, derandomize=True, deadline=None, database=None)
    @given(st.lists(st.one_of(events(codes, ids), likely), max_size=6))
    def run(some):
        body = json.dumps({"events": some, "sent_at": house.now.isoformat()})
        answer = client.post("/api/v1/events", content=body, headers=JSON)
        assert answer.status_code == 200, answer.text
        results = answer.json()["results"]
        assert len(results) == len(some)
        for one in results:
            told[one["result"]] += 1

    run()
    # Nothing may be shown that cannot be: each page still stands.
    for path in ("/", "/shelf", "/api/v1/shelf", *(f"/c/{code}" for code in codes)):
        assert client.get(path).status_code == 200
    assert all(told.values()), told


def test_every_address_that_ends_is_tried(house):
    """A stream of changes does not end by itself: it is tested with the API."""
    described = {
        (method.upper(), path)
        for path, methods in create_app(house.path).openapi()["paths"].items()
        for method in methods
    }

    assert described - {("GET", "/api/v1/changes")} == set(OPERATIONS)
