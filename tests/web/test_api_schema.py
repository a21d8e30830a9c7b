"""The API against its own description: generated requests, never a fault of ours.

Few examples, always the same ones; more with SCHEMA_EXAMPLES.
"""

from __future__ import annotations

import os

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from lidclock.web.app import create_app

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
    ("POST", "/api/v1/prep"),
    ("POST", "/api/v1/prep/{act}/weighed"),
    ("GET", "/api/v1/report"),
    ("GET", "/api/v1/stock-takes"),
    ("POST", "/api/v1/stock-takes"),
    ("GET", "/api/v1/stock-takes/{count}"),
    ("POST", "/api/v1/stock-takes/{count}/scans"),
    ("POST", "/api/v1/stock-takes/{count}/record"),
    ("POST", "/api/v1/stock-takes/{count}/drop"),
    ("POST", "/api/v1/stock-takes/{count}/undo"),
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


def test_every_address_that_ends_is_tried(house):
    """A stream of changes does not end by itself: it is tested with the API."""
    described = {
        (method.upper(), path)
        for path, methods in create_app(house.path).openapi()["paths"].items()
        for method in methods
    }

    assert described - {("GET", "/api/v1/changes")} == set(OPERATIONS)
