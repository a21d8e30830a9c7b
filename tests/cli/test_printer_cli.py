"""Printers from the command line, against real ones: labelled means printed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from lidclock.app import printing
from lidclock.gateways.job import JobReport
from unit.gateways.conftest import (  # noqa: F401
    QUICK,
    _label_printer,
    bus,
    label_printer,
    sheet_printer,
)
from unit.gateways.real_printers import CONF, codes_in, free_port, real_printer

STEW = ("prep", "stew", "--category", "soup-stew", "--no-allergens", "--count", "3")


@pytest.fixture(autouse=True)
def _quick(monkeypatch):
    monkeypatch.setattr(printing, "PATIENCE", QUICK)


@pytest.fixture
def bench(cook, label_printer):  # noqa: F811
    """A cook whose roll printer takes the kitchen's labels by itself."""
    cook.run("printer", "add", "Bench", label_printer.address, "--stock", "roll-50x25")
    return cook


@pytest.fixture
def rolls(newcomer, label_printer):  # noqa: F811
    """A kitchen whose stock is the roll, with a default printer for it."""
    newcomer.run("init", "--yes", "--zone", "America/New_York", "--stock", "roll-50x25")
    newcomer.run("printer", "add", "Bench", label_printer.address, "--default")
    return newcomer


def sheets():
    """The PDF files in the cook's folder."""
    return sorted(path.name for path in Path().glob("*.pdf"))


def labelled(cook):
    """The codes of the containers that count as labelled."""
    found = cook.data("list")["containers"]
    return sorted(one["code"] for one in found if one["labelled"])


def last_printed(printer):
    """The container codes on the last document that a printer was sent."""
    newest = max(printer.folder.glob("arrived-*"), key=lambda path: int(path.name[8:]))
    pages = codes_in(newest.read_bytes())
    return [text for page in pages for kind, text in page if kind == "Code128"]


def test_a_printer_is_added_with_how_it_is(cook, label_printer):  # noqa: F811
    seen = cook.see(
        *("printer", "add", "Bench", label_printer.address),
        *("--stock", "roll-50x25", "--default"),
    )

    assert seen.splitlines() == [
        f"added: Bench ({label_printer.address}), roll-50x25, the default for it",
        "idle, loaded 50.8 x 25.4 mm",
    ]


def test_a_printer_that_is_switched_off_is_added_all_the_same(cook):
    address = f"ipp://127.0.0.1:{free_port()}/ipp/print"
    seen = cook.see("printer", "add", "Bench", address)

    assert "no answer: Bench is not reachable" in seen
    assert cook.data("printer", "list")[0]["address"] == address


@pytest.mark.parametrize(
    ("code", "words", "said"),
    [
        (2, ("Bench", "http://192.0.2.7"), "is no printer's address"),
        (2, ("", "ipp://192.0.2.7"), "cannot be a printer's name"),
        (2, ("4F7 K2M0", "ipp://192.0.2.7"), "reads like an option or a code"),
        (17, ("Bench", "ipp://192.0.2.7", "--stock", "gold"), "no label stock 'gold'"),
    ],
)
def test_what_cannot_be_a_printer_is_refused(cook, code, words, said):
    assert said in cook.fail(code, "printer", "add", *words)
    assert cook.data("printer", "list") == []


def test_a_printers_name_is_its_own(bench):
    refused = bench.fail(13, "printer", "add", "BENCH", "ipp://192.0.2.7")

    assert "there is a printer 'BENCH' already" in refused


def test_printers_are_listed_with_state_and_media(bench):
    listed = bench.data("printer", "list")

    assert [(one["name"], one["state"], one["loaded"]) for one in listed] == [
        ("Bench", "idle", ["50.8 x 25.4 mm"])
    ]


def test_a_hindered_printer_is_listed_with_its_reason(rolls, label_printer):  # noqa: F811
    label_printer.hold("cover-open")
    rolls.run(*STEW, "--portion", "350g")
    seen = rolls.see("printer", "list")

    assert re.search(r"default +processing, cover-open(-\w+)?, loaded 50.8", seen)


def test_without_printers_it_is_said_how_to_add_one(cook):
    assert "add one with `lidclock printer add" in cook.see("printer", "list")


def test_a_removed_printer_is_forgotten(bench):
    assert bench.see("printer", "remove", "bench").startswith("removed: Bench (ipp://")
    assert bench.data("printer", "list") == []


def test_an_unknown_printer_is_named_with_those_there_are(bench):
    refused = bench.fail(11, "printer", "test", "Office")

    assert "no printer 'Office' in this kitchen; there is Bench" in refused


def test_a_test_label_names_no_container(bench, label_printer):  # noqa: F811
    seen = bench.see("printer", "test", "Bench")

    assert seen.startswith("printed: a test label on Bench (roll-50x25), job ")
    assert last_printed(label_printer) == ["TEST"]


def test_a_test_that_fails_says_why(bench, label_printer):  # noqa: F811
    label_printer.fail()

    assert "gave the job up" in bench.fail(18, "printer", "test", "Bench")


def test_prep_prints_by_itself_on_the_stocks_default(rolls, label_printer):  # noqa: F811
    seen = rolls.see(*STEW, "--portion", "350g", "--place", "Fridge")

    assert "printed: Bench (3 labels, 3 pages); every symbol read back" in seen
    assert last_printed(label_printer) == rolls.codes()
    assert labelled(rolls) == sorted(rolls.codes())
    assert sheets() == []


def test_prep_keeps_a_copy_where_one_is_wanted(rolls):
    seen = rolls.see(*STEW, "--portion", "350g", "--labels", "copy.pdf")

    assert "copy: copy.pdf" in seen
    assert sheets() == ["copy.pdf"]


def test_no_labels_means_no_printing(rolls, label_printer):  # noqa: F811
    before = len(list(label_printer.folder.glob("arrived-*")))
    rolls.run(*STEW, "--portion", "350g", "--no-labels")

    assert len(list(label_printer.folder.glob("arrived-*"))) == before
    assert labelled(rolls) == []


def test_without_a_default_prep_writes_the_sheet_as_ever(bench):
    seen = bench.see(*STEW, "--portion", "350g")

    assert "labels: labels-batch-1.pdf (3 labels, 1 page)" in seen
    assert len(labelled(bench)) == 3


def test_prep_prints_where_it_is_told_on_the_stock_in_there(bench, label_printer):  # noqa: F811
    bench.run(*STEW, "--portion", "350g", "--print", "bench")

    assert last_printed(label_printer) == bench.codes()
    assert len(labelled(bench)) == 3


def test_an_unknown_printer_stops_prep_before_it_records(bench):
    before = bench.event_count()
    bench.fail(11, *STEW, "--portion", "350g", "--print", "Office")

    assert bench.event_count() == before


@pytest.mark.parametrize("other", ["--no-labels", "--plain"])
def test_printing_and_not_printing_exclude_each_other(rolls, other):
    assert "--print goes with neither" in rolls.fail(2, *STEW, "--print", other)


def test_a_failing_printer_leaves_batch_and_sheet_and_no_labels(
    rolls,
    label_printer,  # noqa: F811
):
    label_printer.fail()
    seen = rolls.see(*STEW, "--portion", "350g", "--place", "Fridge").splitlines()

    assert seen[-3].startswith("not printed: Bench gave the job up")
    assert seen[-2].startswith("labels: labels-batch-1.pdf (3 labels, 3 pages)")
    assert "the lids count as unlabelled" in seen[-1]
    assert len(rolls.codes()) == 3
    assert labelled(rolls) == []
    assert sheets() == ["labels-batch-1.pdf"]


def test_what_was_not_printed_is_printed_later(rolls, label_printer):  # noqa: F811
    label_printer.hold("media-empty")
    told = rolls.see(*STEW, "--portion", "350g")
    label_printer.settle()
    rolls.run("label", "--unlabelled", "--print")

    assert "Bench is out of labels: load roll-50x25" in told
    assert last_printed(label_printer) == rolls.codes()
    assert len(labelled(rolls)) == 3


def test_nothing_is_labelled_by_a_printer_that_goes_away(cook, bus, monkeypatch):  # noqa: F811
    with real_printer(bus, "-a", str(CONF)) as printer:
        cook.run("printer", "add", "Bench", printer.address, "--stock", "roll-50x25")
        printer.hold("media-empty")
        with monkeypatch.context() as plug:
            plug.setattr("click.echo", unplugging(printer, "is out of labels"))
            seen = cook.see(*STEW, "--portion", "350g", "--print", "Bench")

    assert "not printed: Bench went away in the middle of the job" in seen
    assert labelled(cook) == []
    assert len(cook.codes()) == 3


def unplugging(printer, words):
    """`click.echo` that pulls the plug when it says certain words."""
    import click

    echo = click.echo

    def say(message=None, *args, **more):
        echo(message, *args, **more)
        if words in str(message):
            printer.unplug()

    return say


def test_undo_takes_back_what_was_filled_and_printed(rolls):
    rolls.run(*STEW, "--portion", "350g")
    rolls.run("undo")

    assert rolls.codes() == []


def test_label_prints_on_the_one_printer_with_that_stock(bench, label_printer):  # noqa: F811
    bench.run(*STEW, "--portion", "350g", "--no-labels")
    seen = bench.see("label", "--batch", "1", "--print", "--stock", "roll-50x25")

    assert seen == "printed: Bench (3 labels, 3 pages); every symbol read back\n"
    assert last_printed(label_printer) == bench.codes()


@pytest.mark.parametrize("gap", ["", " "])
def test_a_code_may_follow_print(rolls, label_printer, gap):  # noqa: F811
    rolls.run(*STEW, "--portion", "350g", "--no-labels")
    code = rolls.codes()[1]
    typed = f"{code[:3]}{gap}{code[3:]}".split()
    rolls.run("label", "--print", *typed)

    assert last_printed(label_printer) == [code]
    assert labelled(rolls) == [code]


def test_a_sheet_goes_to_the_office_printer(cook, sheet_printer):  # noqa: F811
    cook.run("printer", "add", "Office", sheet_printer.address)
    cook.run(*STEW, "--portion", "350g", "--no-labels")
    cook.run("label", "--unlabelled", "--print", "Office", "--out", "copy.pdf")

    assert sorted(last_printed(sheet_printer)) == sorted(cook.codes())
    assert sheets() == ["copy.pdf"]


def test_labels_that_were_not_printed_are_not_recorded(rolls, label_printer):  # noqa: F811
    rolls.run(*STEW, "--portion", "350g", "--no-labels")
    before = rolls.event_count()
    label_printer.fail()
    refused = rolls.fail(18, "label", "--unlabelled", "--print")

    assert "no label counts as printed" in refused
    assert rolls.event_count() == before


def test_a_stock_without_a_printer_says_how_to_add_one(bench):
    bench.run(*STEW, "--portion", "350g", "--no-labels")
    refused = bench.fail(11, "label", "--unlabelled", "--print")

    assert "lidclock printer add NAME ADDRESS --stock letter-3x10" in refused


def test_actions_are_printed_too(bench, label_printer):  # noqa: F811
    seen = bench.see("label", "--actions", "--print", "Bench")

    assert re.fullmatch(r"actions: Bench \(12 symbols\)\n", seen)
    assert "FREEZE" in " ".join(last_printed(label_printer))


def test_others_record_while_labels_are_printed(rolls, monkeypatch):
    """A printer takes minutes: no transaction is open meanwhile."""

    def meanwhile(*_):
        rolls.run("prep", "stew", "--count", "1", "--portion", "1kg", "--no-labels")
        return JobReport("completed")

    monkeypatch.setattr("lidclock.gateways.printers.print_to", meanwhile)
    rolls.run(*STEW, "--portion", "350g")

    assert len(rolls.codes()) == 4
    assert len(labelled(rolls)) == 3


def test_an_opened_pack_gets_its_label_at_once(bench, label_printer):  # noqa: F811
    tofu = ("open", "tofu", "--category", "tofu", "--no-allergens")
    bench.run(*tofu, "--place", "Fridge", "--print", "Bench")

    assert last_printed(label_printer) == bench.codes()
    assert len(labelled(bench)) == 1


def test_undo_takes_back_an_opened_pack_with_its_label(bench):
    bench.run(
        "open", "tofu", "--category", "tofu", "--no-allergens", "--print", "Bench"
    )
    bench.run("undo")

    assert bench.codes() == []
