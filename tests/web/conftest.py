"""The page on a real server with a held clock, in a real browser where there is one."""

from __future__ import annotations

import inspect
import shutil
import socket
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import httpx
import pytest
from tests.web.radio_signal import Signal

from lidclock.app import prep, setup
from lidclock.app.session import Session
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.web.app import create_app
from lidclock.web.server import Server
from page_server import NOBODY_TRUSTED

ZONE = "America/New_York"
# Tue 3 Nov 2026, 07:30 in New York.
MORNING = datetime(2026, 11, 3, 12, 30, tzinfo=UTC)
CHROMIUM = shutil.which("chromium")
# Debian's Chromium is a whole browser: beside each page that is opened it would draw
# what drops from its own address bar, which took more than most pages do: 1 of 2.2 s.
FLAGS = (
    *("--no-sandbox", "--disable-gpu"),
    "--disable-features=WebUIOmniboxPopup,WebUIOmniboxAimPopup,WebUIOmniboxFullPopup",
)
_BRIEFLY = 0.01
# On a machine with much else to do an answer takes its time; no test is about that.
PATIENT_S = 60


def pytest_configure(config: pytest.Config) -> None:
    """Name the mark for tests that want a thread without an event loop."""
    config.addinivalue_line("markers", "apart: runs in a thread of its own")


@pytest.hookimpl(tryfirst=True)
def pytest_pyfunc_call(pyfuncitem: pytest.Function) -> bool | None:
    """The browser tool leaves a loop running in this thread, which is in the way."""
    if pyfuncitem.get_closest_marker("apart") is None:
        return None
    wanted = inspect.signature(pyfuncitem.obj).parameters
    given = {name: pyfuncitem.funcargs[name] for name in wanted}
    with ThreadPoolExecutor(1) as thread:
        thread.submit(pyfuncitem.obj, **given).result()
    return True


@dataclass
class House:
    """A kitchen that is served; `now` is what its clock says."""

    path: Path
    now: datetime = MORNING
    address: str = ""
    sessions: list[Session] = field(default_factory=list)
    app: Any = None

    def session(self, now: datetime | None = None) -> Session:
        """The same kitchen by its functions, to make and to look."""
        session = Session.open(self.path, now=now or self.now, device="test")
        self.sessions.append(session)
        return session

    def prep(
        self,
        food: str,
        category: str = "soup-stew",
        *,
        count: int = 1,
        days_ago: int = 0,
    ) -> list[str]:
        """Containers in the fridge, made at noon so many days ago."""
        made = self.now - timedelta(days=days_ago, minutes=30)
        session = self.session(made + timedelta(minutes=30))
        order = prep.Order(
            Food(food, category, ()),
            count,
            portion_g=300,
            made_at=made,
            place=session.place("Fridge"),
        )
        with session.write() as unit:
            return prep.prep(unit, order).codes


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    """An empty kitchen in New York, served on a free port."""
    yield from _served(tmp_path / "kitchen.db")


@pytest.fixture(scope="module")
def shared_house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """The same for all tests of a file, where they only look."""
    yield from _served(tmp_path_factory.mktemp("kitchen") / "kitchen.db")


def _served(path: Path) -> Iterator[House]:
    setup.init_kitchen(path, Kitchen("", "Test kitchen", ZONE))
    found = House(path)
    server, _ = _begin(found)
    yield found
    # It ends by itself after 0.15 s of doing nothing; no other test need wait for that.
    server.should_exit = True
    _close_sessions(found)


@contextmanager
def serve(house: House) -> Iterator[None]:
    """Serve a kitchen that is there on a free port; it has ended when this ends."""
    server, thread = _begin(house)
    yield
    server.should_exit = True
    thread.join(timeout=10)
    _close_sessions(house)


def _begin(house: House) -> tuple[Server, threading.Thread]:
    app = house.app = create_app(house.path, clock=lambda: house.now)
    listener = socket.create_server(("127.0.0.1", 0))
    server = Server(app, lifespan="on")
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]})
    thread.start()
    while not server.started and thread.is_alive():
        thread.join(_BRIEFLY)
    house.address = f"http://127.0.0.1:{listener.getsockname()[1]}"
    return server, thread


def _close_sessions(house: House) -> None:
    for session in house.sessions:
        session.close()


@pytest.fixture
def client(house: House) -> Iterator[httpx.Client]:
    """A browser without scripts: cookies, forms, redirects."""
    with browsing(house, follow_redirects=True) as client:
        yield client


def browsing(house: House, **how: Any) -> httpx.Client:
    """A client of a kitchen that is served."""
    return httpx.Client(
        base_url=house.address, verify=NOBODY_TRUSTED, timeout=PATIENT_S, **how
    )


@pytest.fixture
def signal(house: House) -> Iterator[Signal]:
    """What can be cut between a browser and the kitchen."""
    found = Signal(house.address)
    yield found
    found.cut()


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Debian's Chromium, one for all tests."""
    if CHROMIUM is None:
        pytest.skip("no chromium here")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as tool:
        found = tool.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield patient(found)
        found.close()


def patient(browser: Any) -> Any:
    """The same browser; what its pages wait for may take as long as it takes."""
    make = browser.new_context

    def new_context(**how: Any) -> Any:
        context = make(**how)
        context.set_default_timeout(PATIENT_S * 1000)
        return context

    browser.new_context = new_context
    return browser


@pytest.fixture
def phone(browser: Any, house: House) -> Iterator[Any]:
    """A page as wide as a phone; what its console says is a failure."""
    context = browser.new_context(
        base_url=house.address,
        viewport={"width": 390, "height": 844},
        has_touch=True,
        timezone_id=ZONE,
    )
    page = context.new_page()
    said: list[str] = []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on(
        "console",
        lambda line: said.append(line.text) if line.type == "error" else None,
    )
    yield page
    context.close()
    assert said == []
