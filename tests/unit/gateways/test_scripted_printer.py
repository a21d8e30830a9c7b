"""What a printer can say and no emulator does: each answer one plain line."""

from dataclasses import replace

import pytest

from lidclock.gateways.job import PrintJob
from lidclock.gateways.media import Size
from lidclock.gateways.printers import print_to
from unit.gateways.conftest import QUICK
from unit.gateways.scripted import (
    ABORTED,
    BOOLEAN,
    CANCEL_JOB,
    CANCELED,
    COMPLETED,
    GET_JOB,
    GET_PRINTER,
    HANG_UP,
    KEYWORD,
    MIME,
    PENDING,
    PRINT_JOB,
    PROCESSING,
    STOPPED,
    VALIDATE_JOB,
    Reply,
    job_is,
    one,
    printer_is,
    refuses,
)

JOB = PrintJob(b"%PDF", Size(5080, 2540), "roll-50x25")
# Status codes: RFC 8011, appendix B.1.
OK, IGNORED = 0x0000, 0x0001
NOT_POSSIBLE, GONE, VALUES = 0x0404, 0x0407, 0x040B
UNKNOWN_OPERATION, INTERNAL, NOT_ACCEPTING, BUSY = 0x0501, 0x0500, 0x0506, 0x0507
WILLING = {
    GET_PRINTER: [printer_is()],
    VALIDATE_JOB: [Reply(OK)],
    PRINT_JOB: [job_is(PENDING)],
    GET_JOB: [job_is(COMPLETED, "job-completed-successfully")],
    CANCEL_JOB: [Reply(OK)],
}


@pytest.fixture
def outcome(scripted):
    """`outcome({PRINT_JOB: [...]})`: what comes of a job on a willing printer."""

    def printing(changes=None, job=JOB, **patience):
        scripted.script = {**WILLING, **(changes or {})}
        waits = []
        patience = replace(QUICK, wait=waits.append, **patience)
        return print_to("Bench", scripted.address, job, patience)

    return printing


def test_a_willing_printer_is_asked_in_order(outcome, scripted):
    assert outcome().is_printed
    assert scripted.operations() == [GET_PRINTER, VALIDATE_JOB, PRINT_JOB, GET_JOB]


def test_the_document_follows_the_last_attribute(outcome, scripted):
    outcome()

    assert scripted.bodies(PRINT_JOB)[0].endswith(b"\x03%PDF")
    assert scripted.bodies(VALIDATE_JOB)[0].endswith(b"\x03")


def test_a_printer_may_not_do_something_else_instead(outcome, scripted):
    """RFC 8011, section 4.1.7: fidelity true means as asked, or not at all."""
    outcome()

    for operation in (VALIDATE_JOB, PRINT_JOB):
        [asked] = scripted.bodies(operation)
        assert one(BOOLEAN, "ipp-attribute-fidelity", True) in asked


@pytest.mark.parametrize(
    ("reasons", "said"),
    [
        (["paused"], "Bench is paused; resume it at the printer or its queue"),
        (["media-empty-error"], "Bench is out of labels; load roll-50x25"),
        (["cover-open-error"], "Bench has its cover open; close it"),
        (["none"], "Bench is stopped; start it at the printer"),
    ],
)
def test_nothing_is_sent_to_a_printer_that_stands_still(
    outcome, scripted, reasons, said
):
    report = outcome({GET_PRINTER: [printer_is(STOPPED, *reasons)]})

    assert report.state == "not-sent"
    assert report.message == f"{said} and print again"
    assert scripted.operations() == [GET_PRINTER]


def test_nothing_is_sent_to_a_printer_that_takes_no_jobs(outcome):
    closed = printer_is(accepting=one(0x22, "printer-is-accepting-jobs", False))
    report = outcome({GET_PRINTER: [closed]})

    assert report.reasons == ("not-accepting",)
    assert report.message.startswith("Bench takes no jobs at present")


def test_a_printer_that_closes_in_between_is_said_to_take_no_jobs(outcome):
    report = outcome({PRINT_JOB: [refuses(NOT_ACCEPTING, said="Paused.")]})

    assert report.reasons == ("not-accepting",)
    assert report.message == ("Bench takes no jobs at present: Paused; see the printer")


def test_a_printer_that_only_knows_names_is_given_its_own(outcome, scripted):
    named = printer_is(
        names=one(
            KEYWORD, "media-supported", "na_letter_8.5x11in", "oe_2x1-label_2x1in"
        )
    )

    assert outcome({GET_PRINTER: [named]}).is_printed
    assert b"media\0\x12oe_2x1-label_2x1in" in scripted.bodies(PRINT_JOB)[0]
    assert b"media-col" not in scripted.bodies(PRINT_JOB)[0]


def test_a_name_it_does_not_have_is_refused_before_sending(outcome, scripted):
    named = printer_is(names=one(KEYWORD, "media-supported", "na_letter_8.5x11in"))
    report = outcome({GET_PRINTER: [named]})

    assert report.reasons == ("refused-media",)
    assert "it takes 215.9 x 279.4 mm" in report.message
    assert scripted.operations() == [GET_PRINTER]


def test_size_may_be_refused_under_any_name(outcome):
    report = outcome({VALIDATE_JOB: [refuses(VALUES, "media-col.media-size")]})

    assert report.reasons == ("refused-media",)
    assert "it takes no size that it tells" in report.message


def test_a_refusal_that_names_nothing_is_explained_by_the_size(outcome):
    named = printer_is(
        names=one(KEYWORD, "media-supported", "na_letter_8.5x11in"),
        columns=one(KEYWORD, "media-col-supported", "media-size"),
    )
    report = outcome({GET_PRINTER: [named], VALIDATE_JOB: [refuses(VALUES)]})

    assert report.reasons == ("refused-media",)


def test_a_size_that_is_silently_replaced_is_a_refusal(outcome, scripted):
    """RFC 8011, section 4.1.7: a printer may say yes and substitute."""
    report = outcome({VALIDATE_JOB: [refuses(IGNORED, "media-col")]})

    assert report.reasons == ("refused-media",)
    assert PRINT_JOB not in scripted.operations()


def test_a_job_that_is_taken_with_another_size_is_cancelled(outcome, scripted):
    taken = job_is(PENDING)
    other = refuses(IGNORED, "media-col")
    mixed = Reply(IGNORED, (*other.attributes, *taken.attributes))
    report = outcome({PRINT_JOB: [mixed]})

    assert report.reasons == ("refused-media",)
    assert scripted.operations()[-1] == CANCEL_JOB


def test_a_printer_that_knows_no_scaling_is_not_asked_for_it(outcome, scripted):
    report = outcome({VALIDATE_JOB: [refuses(VALUES, "print-scaling"), Reply(OK)]})

    assert report.is_printed
    assert b"print-scaling" in scripted.bodies(VALIDATE_JOB)[0]
    assert b"print-scaling" not in scripted.bodies(PRINT_JOB)[0]


def test_a_printer_that_must_scale_is_not_used(outcome):
    scaling = printer_is(scaling=one(KEYWORD, "print-scaling-supported", "fit", "auto"))
    report = outcome(
        {GET_PRINTER: [scaling], VALIDATE_JOB: [refuses(VALUES, "print-scaling")]}
    )

    assert report.reasons == ("refused-scaling",)
    assert "cannot print at true size" in report.message


def test_a_refusal_of_something_we_never_asked_ends_the_matter(outcome):
    report = outcome(
        {VALIDATE_JOB: [refuses(VALUES, "finishings", said="No staples.")]}
    )

    assert report.reasons == ("refused",)
    assert report.message == "Bench refuses: No staples; see the printer"


def test_a_printer_without_validation_is_sent_the_job(outcome):
    assert outcome({VALIDATE_JOB: [Reply(UNKNOWN_OPERATION)]}).is_printed


def test_a_printers_words_cannot_steer_the_terminal(outcome):
    steering = "\x1b[2J\x1b]0;owned\x07 Out\nof order"
    report = outcome({PRINT_JOB: [refuses(INTERNAL, said=steering)]})

    assert report.message.isprintable()
    assert "Out of order" in report.message


def test_an_internal_error_is_shown_by_its_number(outcome):
    report = outcome({PRINT_JOB: [Reply(INTERNAL)]})

    assert report.message == "Bench refuses: status 0x0500; see the printer"


def test_a_busy_printer_is_asked_with_growing_pauses(scripted):
    scripted.script = {
        **WILLING,
        PRINT_JOB: [Reply(BUSY), Reply(BUSY), job_is(PENDING)],
    }
    waits = []
    patience = replace(QUICK, wait=waits.append, busy_waits=(1.0, 2.0, 4.0))

    assert print_to("Bench", scripted.address, JOB, patience).is_printed
    assert waits == [1.0, 2.0]


def test_a_line_that_breaks_while_sending_leaves_the_job_lost(outcome):
    report = outcome({PRINT_JOB: [HANG_UP]})

    assert report.state == "lost"
    assert "no label counts as printed" in report.message


def test_a_line_that_breaks_once_while_watching_is_mended(outcome):
    assert outcome({GET_JOB: [HANG_UP, job_is(COMPLETED)]}).is_printed


def test_a_job_that_the_printer_has_forgotten_is_lost(outcome):
    report = outcome({GET_JOB: [Reply(GONE)]})

    assert (report.state, report.job_id) == ("lost", 7)


def test_a_job_with_errors_is_not_printed(outcome):
    report = outcome({GET_JOB: [job_is(COMPLETED, "job-completed-with-errors")]})

    assert not report.is_printed
    assert report.message.startswith("Bench finished the job with errors")


@pytest.mark.parametrize(
    ("state", "said"),
    [
        (CANCELED, "Bench cancelled the job (Stopped by hand); look at what came out"),
        (ABORTED, "Bench gave the job up (Stopped by hand); look at what came out"),
    ],
)
def test_a_job_that_ends_badly_is_not_printed(outcome, state, said):
    report = outcome({GET_JOB: [job_is(state, said="Stopped by hand.")]})

    assert not report.is_printed
    assert report.message.startswith(said)


def test_a_long_job_is_waited_for_while_it_gets_on(outcome):
    pages = [job_is(PROCESSING, printed=page) for page in range(1, 100)]

    assert outcome({GET_JOB: [*pages, job_is(COMPLETED)]}, silent_s=0.3).is_printed


def test_a_job_that_will_not_be_cancelled_may_still_print(outcome):
    report = outcome(
        {GET_JOB: [job_is(PENDING)], CANCEL_JOB: [Reply(NOT_POSSIBLE)]}, silent_s=0.3
    )

    assert (report.state, report.reasons) == ("pending", ("no-progress",))
    assert "it would not cancel the job, which may still print" in report.message


def test_a_job_that_ends_while_it_is_cancelled_counts_as_printed(outcome, scripted):
    news = [job_is(PROCESSING), job_is(COMPLETED)]

    assert outcome({GET_JOB: news}, silent_s=0.0).is_printed
    assert CANCEL_JOB in scripted.operations()


def test_a_printer_without_pdf_is_given_raster_at_the_nearest_resolution(
    outcome, scripted
):
    raster = printer_is(
        formats=one(MIME, "document-format-supported", "image/pwg-raster")
    )
    job = replace(JOB, dpi=203, raster=lambda pdf, dpi: pdf + b"%d" % dpi)

    assert outcome({GET_PRINTER: [raster]}, job).is_printed
    assert scripted.bodies(PRINT_JOB)[0].endswith(b"%PDF203")
    assert b"image/pwg-raster" in scripted.bodies(PRINT_JOB)[0]
