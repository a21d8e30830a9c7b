"""What SQLite complains about reaches a person as one line that says what to do.

The faults here are real ones. A limit on the size of files (setrlimit, POSIX.1-2017)
makes SQLite report an I/O error; a small tmpfs in a mount namespace of its own (Linux,
unshare(1) and tmpfs(5)) is a disk that is really full.
"""

import resource
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from lidclock.errors import StoreError
from lidclock.store.faults import explained, is_fault

NO_SPACE_LEFT = "/proc/kitchen.db"  # statvfs of procfs: no block is ever free


@contextmanager
def files_of_at_most(size):
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


def write_too_much(path):
    """A real I/O error of SQLite: the file may not grow to hold what is written."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE note (text TEXT)")
        connection.commit()
        with files_of_at_most(8192), connection:
            connection.execute("INSERT INTO note VALUES (?)", ("x" * 100_000,))


def test_an_io_error_where_no_space_is_left_is_a_full_disk(path):
    assert shutil.disk_usage(Path(NO_SPACE_LEFT).parent).free == 0

    with (
        pytest.raises(StoreError, match="the disk is full: no room left for /proc"),
        explained(NO_SPACE_LEFT),
    ):
        write_too_much(path)


def test_an_io_error_where_space_is_left_is_a_failing_disk(path):
    with (
        pytest.raises(StoreError, match=r"disk under .* failed \(disk I/O error\)"),
        explained(str(path)),
    ):
        write_too_much(path)


def test_an_io_error_in_a_folder_that_is_gone_is_a_failing_disk(path, tmp_path):
    with (
        pytest.raises(StoreError, match="check the disk before going on"),
        explained(str(tmp_path / "gone" / "kitchen.db")),
    ):
        write_too_much(path)


def test_another_fault_where_no_space_is_left_keeps_its_own_words(tmp_path):
    with (
        pytest.raises(StoreError, match="cannot be opened: check that its folder"),
        explained(NO_SPACE_LEFT),
    ):
        sqlite3.connect(tmp_path / "gone" / "kitchen.db")


def test_a_full_disk_is_one_line_with_the_exit_code_of_the_store(path):
    with pytest.raises(StoreError) as caught, explained(NO_SPACE_LEFT):
        write_too_much(path)

    assert (len(str(caught.value).splitlines()), caught.value.exit_code) == (1, 14)


def test_a_mistake_in_our_own_sql_passes_through_as_it_is(path):
    with (
        closing(sqlite3.connect(path)) as connection,
        pytest.raises(sqlite3.OperationalError, match="no such table"),
        explained(str(path)),
    ):
        connection.execute("SELECT 1 FROM missing")


def test_an_extended_code_counts_as_its_primary_one(path):
    with pytest.raises(sqlite3.OperationalError) as caught:
        write_too_much(path)

    assert caught.value.sqlite_errorcode == sqlite3.SQLITE_IOERR_WRITE
    assert is_fault(caught.value, sqlite3.SQLITE_IOERR)


# A kitchen on a disk of 1 MiB, the rest of which somebody else then fills.
ON_A_FULL_DISK = """
mount -t tmpfs -o size=1m tmpfs "$1" || exit 77
export LIDCLOCK_DB="$1/kitchen.db" LIDCLOCK_NOW=2026-10-31T17:40
"$2" -m lidclock init --yes --zone UTC >"$3" || exit 78
cat /dev/zero >"$1/filler" 2>"$3"
"$2" -m lidclock prep stew --category soup-stew --no-labels
"""


@pytest.fixture(scope="module")
def on_a_full_disk(tmp_path_factory):
    """What preparing a stew ends with on a disk that is really full."""
    disk = tmp_path_factory.mktemp("disk")
    script = ("unshare", "-rm", "sh", "-c", ON_A_FULL_DISK, "sh")
    scrap = tmp_path_factory.mktemp("scrap") / "output"
    if shutil.which("unshare") is None:
        pytest.skip("no unshare on this system")
    ended = subprocess.run(
        [*script, str(disk), sys.executable, str(scrap)],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    if ended.returncode in (1, 77) and "lidclock" not in ended.stderr:
        pytest.skip("no mount namespaces on this system")
    return ended


def test_preparing_food_on_a_really_full_disk_says_that_it_is_full(on_a_full_disk):
    lines = on_a_full_disk.stderr.splitlines()

    assert len(lines) == 1
    assert lines[0].startswith("Error: the disk is full: no room left for ")


def test_preparing_food_on_a_really_full_disk_ends_with_the_code_of_the_store(
    on_a_full_disk,
):
    assert (on_a_full_disk.returncode, on_a_full_disk.stdout) == (14, "")
