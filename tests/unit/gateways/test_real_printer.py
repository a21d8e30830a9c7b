"""Printing on real IPP printers: an office printer and a roll label printer.

Status codes measured on the same program before: a size inside an offered range is
taken (0x0000), one outside refused (0x040b), a second job while the first prints is
told that the printer is busy (0x0507).
"""

from dataclasses import replace

import pytest

from lidclock.gateways.ipp import IppPrinter
from lidclock.gateways.job import JobReport, say_nothing
from lidclock.gateways.media import Offer, Size
from lidclock.gateways.printers import facts_of_printer, print_to
from lidclock.gateways.transport import Line, read_address
from unit.gateways.conftest import CODES, QUICK
from unit.gateways.real_printers import CONF, codes_in, real_printer, until

BOTH = sorted(
    one
    for code in CODES
    for one in (("Code128", code), ("QRCode", f"HTTP://LIDCLOCK.LOCAL/C/{code}"))
)


@pytest.fixture
def on_roll(job_on):
    return job_on("roll-50x25")


@pytest.fixture
def on_sheet(job_on):
    return job_on("letter-3x10")


def printed(printer, job, tell=say_nothing, patience=QUICK):
    return print_to("Bench", printer.address, job, patience, tell)


def test_a_sheet_is_printed_and_its_symbols_arrive_whole(sheet_printer, on_sheet):
    report = printed(sheet_printer, on_sheet)

    assert report.is_printed
    assert codes_in(sheet_printer.arrived(report.job_id)) == [BOTH]


def test_a_roll_is_printed_one_label_to_a_page(label_printer, on_roll):
    report = printed(label_printer, on_roll)
    pages = codes_in(label_printer.arrived(report.job_id))

    assert report == JobReport(
        "completed", ("job-completed-successfully",), "", report.job_id
    )
    assert [page[0][1] for page in pages] == list(CODES)
    assert sorted(one for page in pages for one in page) == BOTH


def test_the_printer_is_asked_for_the_stocks_size_at_true_scale(label_printer, on_roll):
    report = printed(label_printer, replace(on_roll, who="anna", title="Two lids"))
    asked = label_printer.asked(report.job_id)

    assert asked["IPP_MEDIA_COL"] == (
        "{media-size={x-dimension=5080 y-dimension=2540}}"
    )
    assert asked["IPP_PRINT_SCALING"] == "none"
    assert asked["IPP_DOCUMENT_FORMAT_SUPPLIED"] == "application/pdf"
    assert asked["IPP_JOB_ORIGINATING_USER_NAME"] == "anna"
    assert asked["IPP_JOB_NAME"] == "Two lids"


def test_a_sheet_is_asked_to_be_printed_on_one_side(sheet_printer, on_sheet):
    report = printed(sheet_printer, on_sheet)

    assert sheet_printer.asked(report.job_id)["IPP_SIDES"] == "one-sided"


def test_an_encrypted_line_prints_as_well(label_printer, on_roll):
    address = label_printer.address.replace("ipp:", "ipps:")

    assert print_to("Bench", address, on_roll, QUICK).is_printed


def test_what_a_printer_says_of_itself_is_read(label_printer):
    facts = facts_of_printer("Bench", label_printer.address, QUICK)
    roll = Offer(Size(5080, 2540), Size(5080, 2540))

    assert facts.state == "idle"
    assert facts.formats == ("application/pdf",)
    assert facts.loaded == (roll,)
    assert facts.offers[-1] == Offer(Size(1500, 1500), Size(10400, 200000))
    assert facts.dpis == (203, 300)


def test_a_refused_size_is_said_with_the_sizes_there_are(label_printer, on_sheet):
    report = printed(label_printer, on_sheet)

    assert report == JobReport(
        "not-sent",
        ("refused-media",),
        "Bench refuses pages of 215.9 x 279.4 mm (letter-3x10); it takes "
        "50.8 x 25.4 mm, 101.6 x 152.4 mm, 29 x 62 mm, anything from 15 x 15 mm to "
        "104 x 2000 mm; choose another stock or printer",
    )


def test_an_office_printer_refuses_rolls(sheet_printer, on_roll):
    assert printed(sheet_printer, on_roll).reasons == ("refused-media",)


def test_a_wrong_path_is_told_from_a_wrong_host(label_printer, on_roll):
    address = label_printer.address.replace("/ipp/print", "/labels")
    report = print_to("Bench", address, on_roll, QUICK)

    assert report.reasons == ("wrong-path",)
    assert "no printer at /labels" in report.message


@pytest.mark.parametrize(
    ("reason", "said"),
    [
        ("media-empty", "Bench is out of labels: load roll-50x25"),
        ("cover-open", "Bench has its cover open: close it"),
        ("media-jam", "Bench has a label jammed in it: clear it"),
    ],
)
def test_a_hindrance_is_told_while_there_is_time_to_mend_it(
    label_printer, on_roll, reason, said
):
    told = []

    def mend(line):
        told.append(line)
        label_printer.go_on()

    label_printer.hold(reason)
    report = printed(label_printer, on_roll, mend, replace(QUICK, held_s=10.0))

    assert told == [said]
    assert report.is_printed


def test_a_hindrance_that_stays_ends_with_the_job_cancelled(label_printer, on_roll):
    label_printer.hold("media-empty")
    report = printed(label_printer, on_roll)

    assert (report.state, report.reasons) == ("canceled", ("media-empty",))
    assert report.message == (
        "Bench is out of labels; the job was cancelled; load roll-50x25 and print again"
    )


def test_a_job_that_stands_still_without_a_reason_is_given_up(label_printer, on_roll):
    label_printer.hold("media-low")
    report = printed(label_printer, on_roll, patience=replace(QUICK, silent_s=0.2))

    assert (report.state, report.reasons) == ("canceled", ("no-progress",))
    assert report.message.startswith("Bench shows no progress (Job printing)")


def test_a_failed_job_is_not_printed(label_printer, on_roll):
    label_printer.fail()
    report = printed(label_printer, on_roll)

    assert report.state == "aborted"
    assert "gave the job up" in report.message
    assert "no label counts as printed" in report.message


def test_a_busy_printer_is_asked_again_until_it_is_free(label_printer, on_roll):
    label_printer.hold("media-low")
    first = printed(label_printer, on_roll, patience=replace(QUICK, silent_s=0.1))
    told = []

    def free(line):
        told.append(line)
        label_printer.settle()

    second = printed(label_printer, on_roll, free)

    assert not first.is_printed
    assert told == ["Bench is busy: trying again"]
    assert second.is_printed


def test_a_printer_that_stays_busy_is_said_to_be(label_printer, on_roll):
    label_printer.hold("media-low")
    printed(label_printer, on_roll, patience=replace(QUICK, silent_s=0.1))
    report = printed(label_printer, on_roll)

    assert (report.state, report.reasons) == ("not-sent", ("busy",))
    assert report.message == (
        "Bench is busy with another job and stayed so for 0.1 s; "
        "print again when it is free"
    )


def test_a_printer_that_goes_away_leaves_the_job_lost(bus, on_roll):
    with real_printer(bus, "-a", str(CONF)) as printer:
        printer.hold("media-empty")
        report = printed(printer, on_roll, lambda _: printer.unplug())

    assert (report.state, report.reasons) == ("lost", ("lost",))
    assert report.message == (
        "Bench went away in the middle of the job; look at what came out, then print "
        "again: no label counts as printed"
    )


def test_stopping_the_wait_cancels_the_job(label_printer, on_roll):
    def stop(_):
        raise KeyboardInterrupt

    before = printed(label_printer, on_roll).job_id
    label_printer.hold("media-empty")
    with pytest.raises(KeyboardInterrupt):
        printed(label_printer, on_roll, stop)
    label_printer.go_on()
    printer = IppPrinter(Line("Bench", read_address(label_printer.address)))

    assert until(lambda: printer.job(before + 1).is_final)
    assert printer.job(before + 1).state == "canceled"


def test_a_printer_of_neither_pdf_nor_raster_is_refused(bus, on_sheet):
    with real_printer(bus, "-f", "image/jpeg") as printer:
        report = printed(printer, on_sheet)

    assert report.reasons == ("refused-format",)
    assert "takes neither PDF nor PWG raster, only" in report.message
    assert "image/jpeg" in report.message


NARROW = """
ATTR keyword media-supported om_29x90-label_29x90mm
ATTR keyword media-default om_29x90-label_29x90mm
ATTR keyword media-ready om_29x90-label_29x90mm
ATTR collection media-size-supported {
  MEMBER integer x-dimension 2900
  MEMBER integer y-dimension 9000
}
ATTR mimeMediaType document-format-default application/pdf
ATTR mimeMediaType document-format-supported application/pdf
"""


def test_pages_are_turned_where_the_roll_runs_the_other_way(bus, on_roll, tmp_path):
    conf = tmp_path / "narrow.conf"
    conf.write_text(NARROW)
    wide = replace(on_roll, size=Size(9000, 2900), turn=lambda pdf: pdf + b"%turned")
    with real_printer(bus, "-a", str(conf)) as printer:
        report = printed(printer, wide)
        asked, arrived = printer.asked(report.job_id), printer.arrived(report.job_id)

    assert report.is_printed
    assert asked["IPP_MEDIA_COL"] == (
        "{media-size={x-dimension=2900 y-dimension=9000}}"
    )
    assert arrived.endswith(b"%turned")


def test_pages_that_nobody_can_turn_are_refused_there(bus, on_roll, tmp_path):
    conf = tmp_path / "narrow.conf"
    conf.write_text(NARROW)
    with real_printer(bus, "-a", str(conf)) as printer:
        report = printed(printer, replace(on_roll, size=Size(9000, 2900)))

    assert report.reasons == ("refused-media",)
