"""Findings: grouped, counted, bounded."""

import numpy as np
import pytest

from lidclock.templog.logger_csv.findings import Findings, quoted, say_lines


@pytest.mark.parametrize(
    ("lines", "count", "said"),
    [
        ((), 1, "the file"),
        ((7,), 1, "line 7"),
        ((7, 9), 2, "lines 7 and 9"),
        ((14, 15), 11, "lines 14, 15 and 9 more"),
        ((1_014, 1_015), 2_000, "lines 1,014, 1,015 and 1,998 more"),
    ],
)
def test_lines_are_named(lines, count, said):
    assert say_lines(lines, count) == said


def test_equal_words_are_one_finding_with_the_first_lines():
    findings = Findings()
    findings.add("no-temperature", "'###' is no temperature", [15])
    findings.add_rows("no-temperature", "'###' is no temperature", np.arange(14, 25))

    assert [one.say() for one in findings.all()] == [
        "lines 14, 15 and 10 more: '###' is no temperature"
    ]
    assert findings.refused == 12


def test_what_was_left_out_comes_first():
    findings = Findings()
    findings.add("stuck", "stuck", [1])
    findings.add("no-time", "no time", [9])

    assert [one.kind for one in findings.all()] == ["no-time", "stuck"]
    assert findings.refused == 1


def test_a_file_full_of_different_faults_stays_within_bounds():
    findings = Findings()
    for line in range(10_000):
        findings.add("no-time", f"'{line}' is no time", [line])

    assert len(findings.all()) < 50
    assert findings.refused == 10_000
    assert findings.all()[-1].say().endswith("no time that can be read (others)")


def test_no_lines_are_no_finding():
    findings = Findings()
    findings.add_rows("no-time", "no time", np.empty(0, np.int64))

    assert findings.all() == ()


def test_an_unknown_kind_is_a_programmers_mistake():
    with pytest.raises(ValueError, match="no kind of finding 'x'"):
        Findings().add("x", "x", [1])


def test_what_a_file_says_cannot_command_a_screen():
    assert quoted("a\x1b[31m\u202eb") == "'a·[31m·b'"
    assert quoted("x" * 50) == f"'{'x' * 39}…'"
