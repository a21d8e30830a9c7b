"""Bytes of any make as blocks of whole lines."""

import pytest

from lidclock.templog.logger_csv.fields import decoded, split
from lidclock.templog.logger_csv.findings import Findings
from lidclock.templog.logger_csv.text import LONGEST_LINE, blocks


def lines_of(data, size=1 << 22, chunk=None):
    findings = Findings()
    step = chunk or max(1, len(data))
    chunks = [data[at : at + step] for at in range(0, len(data), step)]
    found = [
        (block.first + place, decoded(line))
        for block in blocks(chunks, findings, size=size)
        for place, line in enumerate(block.split())
    ]
    return found, [one.kind for one in findings.all()]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("chunk", [1, 2, 3, 1000])
def test_marks_and_line_ends_leave_the_text(encoding, end, chunk):
    text = end.join(["Temp °C", "", "4.5", "5"])

    found, kinds = lines_of(text.encode(encoding), chunk=chunk, size=1)

    assert found == [(1, "Temp °C"), (2, ""), (3, "4.5"), (4, "5")]
    assert kinds == []


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
def test_utf_16_without_a_mark_is_noticed(encoding):
    assert lines_of("a,b\n1,2\n".encode(encoding)) == ([(1, "a,b"), (2, "1,2")], [])


def test_latin_1_is_read_where_utf_8_is_not():
    assert lines_of("Temp °C\n".encode("latin-1")) == ([(1, "Temp °C")], [])


def test_nul_bytes_go_and_are_told():
    assert lines_of(b"1,\x002\n" + b"x" * 50) == ([(1, "1,2"), (2, "x" * 50)], ["nul"])


def test_an_endless_line_is_left_out_and_the_next_one_is_not():
    """What follows a long line's cut must never pass for a row of its own."""
    data = b"a\n" + b"9" * (3 * LONGEST_LINE) + b",4.5\nb\n"

    found, kinds = lines_of(data, size=LONGEST_LINE // 2, chunk=LONGEST_LINE // 2)

    assert found == [(1, "a"), (2, ""), (3, "b")]
    assert kinds == ["too-long"]


@pytest.mark.parametrize(
    ("line", "fields"),
    [
        ("a,b", ["a", "b"]),
        ('"a,b",c', ["a,b", "c"]),
        ('"a""b",c', ['a"b', "c"]),
        (' a , "b" ', ["a", "b"]),
        ('="04:00",1', ["04:00", "1"]),
        ("'04:00,1", ["04:00", "1"]),
        ("a,,", ["a", "", ""]),
        ("\ufeffa,b\x1a", ["a", "b"]),
        ('5" pipe,4', ['5" pipe', "4"]),
    ],
)
def test_a_line_is_cut_into_clean_fields(line, fields):
    assert split(line, ",") == fields


def test_a_stray_quote_before_much_text_does_not_end_the_program():
    line = '"' + "x" * 200_000

    assert split(line, ",") == [line]
