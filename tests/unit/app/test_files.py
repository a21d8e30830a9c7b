"""Files are written whole or not at all, and addresses fit a QR."""

import pytest

from lidclock.app.files import write_whole
from lidclock.app.setup import checked_base
from lidclock.errors import InputError, StoreError


def test_a_write_that_fails_leaves_what_was_there(tmp_path):
    path = tmp_path / "labels.pdf"
    path.write_bytes(b"before")

    def torn():
        yield b"half"
        raise OSError(28, "No space left on device")

    with pytest.raises(StoreError, match="No space left"):
        write_whole(path, torn())

    assert path.read_bytes() == b"before"
    assert list(tmp_path.iterdir()) == [path]


def test_the_symbol_base_is_kept_in_capitals_without_a_slash_at_its_end():
    assert checked_base("http://lid.example:8000/k/") == "HTTP://LID.EXAMPLE:8000/K"


@pytest.mark.parametrize(
    "base", ["", "lid.example", "ftp://lid", "http://a b", "http://x/?q=1", "http://"]
)
def test_an_address_that_a_small_qr_cannot_hold_is_refused(base):
    with pytest.raises(InputError, match="cannot go before the codes"):
        checked_base(base)
