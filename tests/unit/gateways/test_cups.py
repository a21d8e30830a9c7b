"""Printing through a private CUPS, whose `lp` ends well whatever becomes of a job."""

from dataclasses import replace

import pytest

from lidclock.gateways import cups
from lidclock.gateways.job import JobReport
from lidclock.gateways.media import Offer, Size
from lidclock.gateways.printers import facts_of_printer, print_to
from unit.gateways.conftest import CODES, QUICK
from unit.gateways.private_cups import private_cups
from unit.gateways.real_printers import codes_in
from unit.gateways.scripted import (
    CANCELED,
    COMPLETED,
    GET_JOB,
    GET_PRINTER,
    KEYWORD,
    job_is,
    one,
    printer_is,
)

PATIENT = replace(QUICK, held_s=10.0, silent_s=10.0)
A_WHILE = replace(QUICK, held_s=1.0, silent_s=10.0)


@pytest.fixture(scope="module")
def _server(bus, _label_printer, sheet_printer):
    with private_cups(bus) as server:
        server.add_queue("roll", _label_printer.address, "raw")
        server.add_queue("sheets", sheet_printer.address, "everywhere")
        yield server


@pytest.fixture
def server(_server, monkeypatch):
    """CUPS with a raw queue before the roll printer, a real one before the other."""
    monkeypatch.setenv("CUPS_SERVER", f"127.0.0.1:{_server.port}")
    return _server


def printed(queue, job, patience=PATIENT):
    return print_to("Bench", f"cups:{queue}", job, patience)


@pytest.mark.usefixtures("server")
def test_the_queues_of_a_server_are_listed():
    assert cups.queues() == ["roll", "sheets"]


@pytest.mark.usefixtures("server")
def test_a_raw_queue_passes_a_roll_on_to_the_octet(label_printer, job_on):
    job = job_on("roll-50x25")
    before = set(label_printer.folder.glob("arrived-*"))
    report = printed("roll", job)
    [arrived] = set(label_printer.folder.glob("arrived-*")) - before

    assert report.is_printed
    assert arrived.read_bytes() == job.pdf


@pytest.mark.usefixtures("server")
def test_a_queue_with_a_driver_prints_a_sheet_whose_symbols_read(sheet_printer, job_on):
    before = set(sheet_printer.folder.glob("arrived-*"))
    report = printed("sheets", job_on("letter-3x10"))
    [arrived] = set(sheet_printer.folder.glob("arrived-*")) - before
    found = {text for page in codes_in(arrived.read_bytes()) for _, text in page}

    assert report.is_printed
    assert {*CODES} < found
    assert len(found) == 2 * len(CODES)


@pytest.mark.usefixtures("server", "label_printer")
def test_the_state_of_the_job_is_believed_and_not_lp(job_on):
    """The printer refuses the size; `lp` has ended with 0 long before."""
    report = printed("roll", replace(job_on("roll-50x25"), size=Size(123_400, 9_000)))

    assert (report.state, report.is_printed) == ("canceled", False)
    assert report.message.startswith(
        "Bench cancelled the job (Printer cannot print with supplied options)"
    )


@pytest.mark.usefixtures("server")
def test_a_size_the_queue_does_not_have_is_refused_before_sending(job_on):
    report = printed("sheets", job_on("roll-50x25"))

    assert report.reasons == ("refused-media",)
    assert "215.9 x 279.4 mm" in report.message


@pytest.mark.usefixtures("server")
def test_an_empty_printer_is_told_through_its_queue(label_printer, job_on):
    label_printer.hold("media-empty")
    report = printed("roll", job_on("roll-50x25"), A_WHILE)

    assert report == JobReport(
        "canceled",
        ("media-empty",),
        "Bench is out of labels; the job was cancelled; "
        "load roll-50x25 and print again",
        report.job_id,
    )


@pytest.mark.usefixtures("server")
def test_a_queue_that_is_not_there_is_said_with_those_that_are(job_on):
    report = printed("office", job_on("roll-50x25"))

    assert report == JobReport(
        "not-sent",
        ("no-queue",),
        "Bench: CUPS has no queue 'office'; it has roll, sheets",
    )


def test_a_server_is_reached_by_its_socket(server, monkeypatch):
    monkeypatch.setenv("CUPS_SERVER", server.socket)
    letter = Size(21590, 27940)

    assert Offer(letter, letter) in facts_of_printer("it", "cups:sheets", QUICK).offers


def test_a_computer_without_cups_says_so(monkeypatch, job_on, tmp_path):
    monkeypatch.setenv("PATH", str(tmp_path))
    report = printed("office", job_on("roll-50x25"))

    assert report.reasons == ("no-cups",)
    assert "this computer has no CUPS" in report.message
    assert cups.queues() == []


PROGRAMS = {
    "lpstat": """#!/bin/sh
[ "$1" = -e ] && echo roll || echo {server}
""",
    "lp": """#!/bin/sh
printf '%s\n' "$@" > {folder}/asked
cat > {folder}/document
echo "request id is roll-7 (0 file(s))"
""",
}


@pytest.fixture
def played(scripted, monkeypatch, tmp_path):
    """Programs that note what they are asked, before a server that plays a script."""
    server = scripted.address.split("/")[2]
    for name, text in PROGRAMS.items():
        program = tmp_path / name
        program.write_text(text.format(folder=tmp_path, server=server))
        program.chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    scripted.script = {
        GET_PRINTER: [
            printer_is(
                sides=one(KEYWORD, "sides-supported", "one-sided", "two-sided"),
                names=one(
                    *(KEYWORD, "media-supported", "oe_2x1-label_2x1in"),
                    *("custom_min_15x15mm", "custom_max_104x2000mm"),
                ),
            )
        ],
        GET_JOB: [job_is(COMPLETED)],
    }
    return tmp_path


def asked_of(folder):
    return (folder / "asked").read_text().splitlines()


def test_lp_is_asked_for_queue_size_and_true_scale(played, job_on):
    job = job_on("roll-50x25")
    report = printed("roll", job)

    assert report == JobReport("completed", (), "", 7)
    assert (played / "document").read_bytes() == job.pdf
    assert asked_of(played) == [
        *("-d", "roll", "-t", "Container labels"),
        *("-o", "media=oe_2x1-label_2x1in"),
        *("-o", "print-scaling=none", "-o", "sides=one-sided"),
    ]


def test_a_size_within_a_queues_range_is_written_as_a_custom_one(played, job_on):
    printed("roll", replace(job_on("roll-50x25"), size=Size(6_050, 3_000)))

    assert "media=Custom.60.5x30mm" in asked_of(played)


def test_a_job_that_the_queue_dropped_is_not_printed(played, scripted, job_on):
    scripted.script[GET_JOB] = [job_is(CANCELED, said="Unable to print.")]
    report = printed("roll", job_on("roll-50x25"))

    assert asked_of(played)
    assert (report.state, report.is_printed) == ("canceled", False)


@pytest.mark.parametrize(
    ("program", "text", "said"),
    [
        ("lp", "echo nonsense", "lp named no job (nonsense)"),
        (
            "lp",
            "echo 'lp: no such option' >&2; exit 1",
            "lp failed (lp: no such option)",
        ),
    ],
)
def test_what_lp_complains_of_is_passed_on(played, job_on, program, text, said):
    (played / program).write_text(f"#!/bin/sh\n{text}\n")
    report = printed("roll", job_on("roll-50x25"))

    assert report.state == "not-sent"
    assert said in report.message
