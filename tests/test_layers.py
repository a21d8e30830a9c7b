"""Who may import whom: arrows point inward, and only app/now.py reads the clock."""

import ast
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

SRC = Path(__file__).parents[1] / "src"
ROOT_PACKAGE = "lidclock"


@dataclass(frozen=True)
class Layer:
    """What one package may import besides itself, `errors` and plain stdlib."""

    inner: frozenset[str] = frozenset()
    outside: frozenset[str] = frozenset()


def layer(inner: str = "", outside: str = "") -> Layer:
    return Layer(frozenset(inner.split()), frozenset(outside.split()))


PURE = "domain guidance clock kinetics heat templog plan alerts trace labels scan"
ALL_BELOW_APP = f"{PURE} reports store gateways"

LAYERS = {
    "errors": layer(),
    "domain": layer(),
    "guidance": layer("domain"),
    "clock": layer("domain guidance"),
    "kinetics": layer("", "numpy"),
    "heat": layer("", "numpy"),
    "templog": layer("domain guidance kinetics", "numpy"),
    "plan": layer("domain clock heat"),
    "alerts": layer("domain clock templog"),
    "trace": layer("domain"),
    "labels": layer(
        "domain",
        "reportlab barcode segno zxingcpp pypdfium2 PIL bidi uharfbuzz platformdirs",
    ),
    "scan": layer("domain", "biip"),
    "reports": layer(PURE, "numpy matplotlib"),
    "store": layer("domain", "sqlalchemy alembic sqlite3 numpy"),
    "gateways": layer(
        "domain labels",
        "http icalendar paho smtplib socket ssl subprocess cryptography zeroconf",
    ),
    "app": layer(
        ALL_BELOW_APP,
        "dateutil numpy platformdirs pyarrow uuid_utils zxingcpp PIL pypdfium2",
    ),
    "web": layer(
        "app domain",
        "fastapi starlette uvicorn jinja2 markupsafe pydantic asyncio socket ssl",
    ),
    "cli": layer("app domain web", "click dateutil"),
    "__main__": layer("cli"),
    "__init__": layer(),
}

# Standard modules that reach outside the process: named in a layer or refused.
REACHING_OUT = frozenset(
    "asyncio ftplib http imaplib multiprocessing poplib smtplib socket socketserver "
    "sqlite3 ssl subprocess urllib.request webbrowser".split()
)

CLOCK_READER = "lidclock/app/now.py"
CLOCK_READS = frozenset(
    "datetime.datetime.now datetime.datetime.utcnow datetime.datetime.today "
    "datetime.date.today time.time time.time_ns time.localtime time.gmtime "
    "time.monotonic time.perf_counter time.sleep".split()
)


def package_of(path: str) -> str:
    """The layer of a file such as lidclock/clock/verdict.py or lidclock/errors.py."""
    return path.split("/")[1].removesuffix(".py")


def absolute_base(node: ast.ImportFrom, path: str) -> str:
    """The module a `from` import starts at, with leading dots resolved."""
    if not node.level:
        return node.module or ""
    folders = path.split("/")[: -node.level]
    return ".".join([*folders, *filter(None, [node.module])])


def imported_by_call(node: ast.Call) -> str | None:
    """The module named in `import_module("x")` or `__import__("x")`, if literal."""
    name = node.func.attr if isinstance(node.func, ast.Attribute) else None
    if isinstance(node.func, ast.Name):
        name = node.func.id
    if name not in ("import_module", "__import__") or not node.args:
        return None
    first = node.args[0]
    return first.value if isinstance(first, ast.Constant) else None


def imports(tree: ast.Module, path: str) -> Iterator[tuple[int, str]]:
    """Every dotted name the file imports, at any depth, with its line."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name
        elif isinstance(node, ast.ImportFrom):
            base = absolute_base(node, path)
            for alias in node.names:
                yield node.lineno, f"{base}.{alias.name}"
        elif isinstance(node, ast.Call) and (name := imported_by_call(node)):
            yield node.lineno, name


def may_import(package: str, name: str) -> bool:
    """Whether the layer table lets `package` import the dotted `name`."""
    allowed = LAYERS[package]
    top, _, rest = name.partition(".")
    if top == ROOT_PACKAGE:
        inner = rest.split(".")[0]
        always = {package, "__version__"} | (
            {"errors"} if package != "errors" else set()
        )
        return inner in allowed.inner | always
    reaching = {top, ".".join(name.split(".")[:2])} & REACHING_OUT
    if top in sys.stdlib_module_names and not reaching:
        return True
    return bool({top, *reaching} & allowed.outside)


def dotted(node: ast.expr, known_as: dict[str, str]) -> str | None:
    """The full name behind `dt.now`, given what the file imported `dt` as."""
    if isinstance(node, ast.Name):
        return known_as.get(node.id)
    if isinstance(node, ast.Attribute) and (base := dotted(node.value, known_as)):
        return f"{base}.{node.attr}"
    return None


def clock_reads(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Every mention of a call that reads or waits for the system clock."""
    known_as: dict[str, str] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                bound = alias.asname or alias.name.split(".")[0]
                known_as[bound] = alias.name if alias.asname else bound
        elif isinstance(node, ast.ImportFrom) and node.module in ("datetime", "time"):
            for alias in node.names:
                full = f"{node.module}.{alias.name}"
                known_as[alias.asname or alias.name] = full
                if full in CLOCK_READS:
                    yield node.lineno, full
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute):
            name = dotted(node, known_as)
            if name in CLOCK_READS:
                yield node.lineno, name


def findings(source: str, path: str) -> list[str]:
    """Everything in one file that breaks the table, as `path:line: what`."""
    package = package_of(path)
    if package not in LAYERS:
        return [f"{path}:1: package {package} is not in the layer table"]
    tree = ast.parse(source, path)
    found = [
        f"{path}:{line}: {package} must not import {name}"
        for line, name in imports(tree, path)
        if not may_import(package, name)
    ]
    if path != CLOCK_READER:
        found += [f"{path}:{line}: uses {name}" for line, name in clock_reads(tree)]
    return found


def test_every_import_and_clock_read_follows_the_table():
    paths = sorted((SRC / ROOT_PACKAGE).rglob("*.py"))
    found = [
        finding
        for path in paths
        for finding in findings(
            path.read_text(encoding="utf-8"), path.relative_to(SRC).as_posix()
        )
    ]

    assert paths
    assert found == []


def test_layer_table_has_no_circle():
    """Leaving out, one by one, packages that need nothing left leaves nothing."""
    left = {name: set(rule.inner) for name, rule in LAYERS.items()}
    while free := {name for name, needs in left.items() if not needs & left.keys()}:
        left = {name: needs for name, needs in left.items() if name not in free}

    assert left == {}


@pytest.mark.parametrize("maker", ["domain", "guidance", "clock"])
def test_no_model_can_reach_a_limit(maker):
    """Promise 5: what makes limits may not import what predicts, nor what holds it."""
    predicting = {"kinetics", "heat", "templog"}

    assert not LAYERS[maker].inner & predicting


@pytest.mark.parametrize(
    ("path", "source"),
    [
        ("lidclock/clock/x.py", "from lidclock.kinetics.predict import predict"),
        ("lidclock/kinetics/x.py", "from lidclock.domain import history"),
        ("lidclock/kinetics/x.py", "import scipy"),
        ("lidclock/domain/x.py", "from lidclock.store import ledger"),
        ("lidclock/domain/x.py", "from lidclock import store"),
        ("lidclock/domain/x.py", "import lidclock.clock.verdict"),
        ("lidclock/domain/x.py", "from ..store import ledger"),
        ("lidclock/domain/x.py", "from .. import store"),
        ("lidclock/domain/x.py", "import click"),
        ("lidclock/domain/x.py", "import sqlite3"),
        ("lidclock/domain/x.py", "import urllib.request"),
        ("lidclock/domain/x.py", "from urllib import request"),
        ("lidclock/domain/x.py", "def f():\n    import sqlalchemy as sa"),
        ("lidclock/domain/deep/x.py", "from ...app.now import now"),
        ("lidclock/clock/x.py", "importlib.import_module('lidclock.plan')"),
        ("lidclock/errors.py", "from lidclock.domain import codes"),
        ("lidclock/__init__.py", "from lidclock.app import actions"),
        ("lidclock/cli/x.py", "from lidclock.store import ledger"),
    ],
)
def test_a_bad_import_is_reported(path, source):
    found = findings(source, path)

    assert len(found) == 1
    assert "must not import" in found[0]


@pytest.mark.parametrize(
    ("path", "source"),
    [
        ("lidclock/clock/x.py", "from lidclock.guidance.model import Rule"),
        ("lidclock/clock/x.py", "from ..domain import stays"),
        ("lidclock/clock/x.py", "from . import verdict"),
        ("lidclock/clock/x.py", "from lidclock.errors import LidclockError"),
        ("lidclock/cli/x.py", "from lidclock import __version__"),
        ("lidclock/cli/x.py", "import click"),
        ("lidclock/scan/x.py", "from urllib.parse import urlsplit"),
        ("lidclock/store/x.py", "def f():\n    import sqlite3"),
        ("lidclock/labels/x.py", "from reportlab.pdfgen.canvas import Canvas"),
    ],
)
def test_an_inward_import_passes(path, source):
    assert findings(source, path) == []


@pytest.mark.parametrize(
    "source",
    [
        "import datetime\ndatetime.datetime.now()",
        "from datetime import datetime as dt\ndt.now(tz)",
        "from datetime import datetime\nfactory = datetime.utcnow",
        "import datetime as d\nd.date.today()",
        "from datetime import date\ndef f():\n    return date.today()",
        "import time\ntime.time()",
        "from time import time",
        "import time\ntime.sleep(1)",
    ],
)
def test_reading_the_clock_is_reported(source):
    found = findings(source, "lidclock/app/actions.py")

    assert len(found) == 1
    assert "uses " in found[0]


def test_the_one_clock_reader_may_read_it():
    source = "from datetime import UTC, datetime\ndatetime.now(UTC)"

    assert findings(source, CLOCK_READER) == []


def test_an_unknown_package_is_reported():
    assert findings("", "lidclock/misc/x.py") == [
        "lidclock/misc/x.py:1: package misc is not in the layer table"
    ]
