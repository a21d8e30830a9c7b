"""A kitchen on a real database, driven with commands at fixed moments."""

import json
import os
import shutil

import pytest
from click.testing import CliRunner

from lidclock.cli.main import main

SATURDAY = "2026-10-31T17:40"  # in New York: day 1 of most stories


class Cook:
    """Types commands; keeps the last screen."""

    def __init__(self, folder, beginnings):
        self.folder = folder
        self.beginnings = beginnings
        self.database = folder / "kitchen.db"
        self.now = SATURDAY
        self.who = ""

    def run(self, *args, code=0, given=None, now=None):
        """The result of one command, which must end with exit code `code`."""
        settings = {
            "LIDCLOCK_DB": str(self.database),
            "LIDCLOCK_NOW": now or self.now,
            "LIDCLOCK_WHO": self.who,
        }
        result = CliRunner(env=settings).invoke(main, list(args), input=given)
        assert result.exit_code == code, f"{args}: {result.output}"
        if code not in (0, 3):
            assert len(result.stderr.splitlines()) == 1, result.stderr
        return result

    def see(self, *args, **more):
        """What the screen shows after one command."""
        return self.run(*args, **more).stdout

    def fail(self, code, *args, **more):
        """The one line that a refused command leaves on stderr."""
        return self.run(*args, code=code, **more).stderr.strip()

    def data(self, *args, **more):
        """The JSON of a reading command."""
        return json.loads(self.run(*args, "--json", **more).stdout)

    def codes(self, food=None):
        """The live containers' codes, the first box first."""
        found = self.data("list", *(["--food", food] if food else []))["containers"]
        found.sort(key=lambda one: (one["batch"] or 0, one["index"] or 0, one["code"]))
        return [one["code"] for one in found]

    def event_count(self):
        """How many events the ledger holds."""
        return len(self.run("export").stdout.splitlines()) - 1

    def begin(self, name, make):
        """Do what `make` does, or have what it left the first time it was done.

        Many tests begin alike: the commands run once, their files are copied.
        """
        kept = self.beginnings / name
        if kept.exists():
            shutil.copytree(kept, self.folder, dirs_exist_ok=True)
            return
        make()
        shutil.copytree(self.folder, kept)

    def import_with(self, changed):
        """Go on in a kitchen that came as a file, with other texts in it.

        What is typed loses signs that cannot be seen; what comes from elsewhere keeps
        them.
        """
        file = self.folder / "elsewhere.jsonl"
        self.run("export", file.name)
        lines = file.read_text("utf-8")
        for word, words in changed.items():
            lines = lines.replace(json.dumps(word), json.dumps(words))
        file.write_text(lines, "utf-8")
        self.database = self.folder / "elsewhere.db"
        self.run("import", file.name)


@pytest.fixture(scope="session")
def beginnings(tmp_path_factory):
    """Where kitchens lie with which many tests begin."""
    return tmp_path_factory.mktemp("beginnings")


@pytest.fixture
def newcomer(tmp_path, monkeypatch, beginnings):
    """Somebody in an empty folder, without a kitchen yet."""
    monkeypatch.chdir(tmp_path)
    for name in [name for name in os.environ if name.startswith("LIDCLOCK_")]:
        monkeypatch.delenv(name)
    # Whoever runs this may have label stock of their own.
    monkeypatch.setenv("LIDCLOCK_LABELS", str(tmp_path / "own"))
    return Cook(tmp_path, beginnings)


def init(cook):
    """The commands that `cook` begins with; `stew` and `dough` add theirs."""
    cook.run("init", "--yes", "--zone", "America/New_York")


@pytest.fixture
def cook(newcomer):
    """Somebody in a kitchen in New York with a fridge, a freezer and a counter."""
    newcomer.begin("cook", lambda: init(newcomer))
    return newcomer


def make_stew(cook):
    """Three boxes."""
    init(cook)
    cook.run(
        *("prep", "stew", "--category", "soup-stew", "--no-allergens", "--count", "3"),
        *("--portion", "350g", "--made", "today 17:10", "--place", "Fridge"),
        "--no-labels",
    )


@pytest.fixture
def stew(newcomer):
    """The same with three boxes of stew in the fridge; `codes()` names them."""
    newcomer.begin("stew", lambda: make_stew(newcomer))
    return newcomer


def make_dough(cook):
    """Six boxes and their labels."""
    init(cook)
    cook.run(
        *("prep", "bun dough", "--category", "yeast-dough-raw", "--days", "6"),
        *("--allergens", "wheat, milk", "--count", "6", "--total", "1847g"),
        *("--made", "today 17:10"),
    )


@pytest.fixture
def dough(newcomer):
    """Six labelled boxes of bun dough that nobody has put away yet."""
    newcomer.begin("dough", lambda: make_dough(newcomer))
    return newcomer
