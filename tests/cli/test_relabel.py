"""Frozen, thawed or opened, a lid needs a new label; the old one is void."""

import re

import pytest

from lidclock.labels import read_back

SUNDAY, TUESDAY = "2026-11-01T09:00", "2026-11-10T09:00"


@pytest.fixture
def labelled(stew):
    """Three labelled boxes of stew in the fridge, made on Saturday 31 October."""
    stew.run("label", "--batch", "1", "--out", "first.pdf")
    return stew


def symbols_of(cook, name):
    return {text for page in read_back((cook.folder / name).read_bytes(), 300)
            for _, text in page}  # fmt: skip


def test_freezing_proposes_the_new_label_at_once(labelled):
    seen = labelled.see("scan", labelled.codes()[0], "--freeze", now=SUNDAY)

    said, proposal, how = seen.splitlines()
    assert said.endswith("the lid still says Tue 3 Nov 2026: print a new label")
    # FoodSafety.gov: soups and stews 3 to 4 days; Saturday and Sunday are used up.
    assert proposal == "new label: FROZEN Sun 1 Nov 2026 (2 of 4 days used)"
    assert how.startswith(f"print it: `lidclock label {labelled.codes()[0]} --print`")


def test_the_new_label_comes_with_the_freezing(labelled):
    code = labelled.codes()[0]
    seen = labelled.see("scan", code, "--freeze", "--out", "new.pdf", now=SUNDAY)

    assert "labels: new.pdf (1 label, 1 page); every symbol read back" in seen
    assert any(
        text.endswith(f"/C/{code}/2") for text in symbols_of(labelled, "new.pdf")
    )
    assert code in symbols_of(labelled, "new.pdf")
    bare = labelled.data("list", now=SUNDAY)["containers"]
    assert all(one["labelled"] for one in bare)


def test_a_frozen_lid_counts_as_unlabelled_until_then(labelled):
    code = labelled.codes()[0]
    labelled.run("scan", code, "--freeze", now=SUNDAY)

    labelled.run("label", "--unlabelled", "--out", "new.pdf", now=SUNDAY)

    assert {x for x in symbols_of(labelled, "new.pdf") if len(x) == 7} == {code}
    labelled.fail(2, "label", "--unlabelled", "--out", "more.pdf", now=SUNDAY)


def test_thawing_tells_three_times(labelled):
    code = labelled.codes()[0]
    labelled.run("scan", code, "--freeze", "--out", "a.pdf", now=SUNDAY)
    labelled.run(
        *("scan", code, "--thaw", "--ready", "tomorrow 08:00", "--out", "b.pdf"),
        now=TUESDAY,
    )

    tape = labelled.see("label", code, "--plain", now=TUESDAY)
    assert "pulled Tue 10 Nov 09:00 · ready Wed 11 Nov 08:00" in tape
    assert re.search(r"USE BY\s+Wed 11 Nov 2026", tape)


def test_a_thaw_nobody_timed_leaves_room_for_a_pen(labelled):
    code = labelled.codes()[0]
    labelled.run("scan", code, "--freeze", now=SUNDAY)
    labelled.run("scan", code, "--thaw", now=TUESDAY)

    assert "ready ________" in labelled.see("label", code, "--plain", now=TUESDAY)


def test_it_is_not_thawed_before_it_is_taken_out(labelled):
    code = labelled.codes()[0]
    labelled.run("scan", code, "--freeze", now=SUNDAY)
    before = labelled.event_count()

    refused = labelled.fail(
        2, "scan", code, "--thaw", "--ready", "2026-11-09T08:00", now=TUESDAY
    )

    assert "cannot be thawed before it was taken out" in refused
    assert labelled.event_count() == before
    assert "--ready goes with --thaw" in labelled.fail(
        2, "scan", code, "--freeze", "--ready", "tomorrow 08:00"
    )


def test_scanning_an_old_label_finds_the_container_and_says_it_is_void(labelled):
    code = labelled.codes()[0]
    labelled.run("scan", code, "--freeze", "--out", "a.pdf", now=SUNDAY)

    first = labelled.see("scan", f"http://K.LAN/C/{code}", now=SUNDAY)
    second = labelled.see("scan", f"HTTP://K.LAN/C/{code}/2", now=SUNDAY)
    bars = labelled.see("scan", code, now=SUNDAY)

    counts = "label 2 counts, frozen (since Sun 1 Nov 2026 09:00)"
    void = f"label 1 (Tue 3 Nov 2026) is void: take it off; {counts}"
    assert first.splitlines()[0].endswith(f"Freezer; {void}")
    assert "void" not in second
    # Bars do not tell which label they are on.
    assert f"{counts}; an older one on this lid is void" in bars


def test_acting_on_an_old_label_says_so_too(labelled):
    code = labelled.codes()[0]
    labelled.run("scan", code, "--freeze", "--out", "a.pdf", now=SUNDAY)

    seen = labelled.see("scan", f"HTTP://K.LAN/C/{code}", "--thaw", now=TUESDAY)

    assert "label 1 (Tue 3 Nov 2026) is void: take it off" in seen


def test_opening_a_bought_pack_proposes_a_label_with_the_opening(cook):
    cook.run(
        *("adopt", "mayonnaise", "--made-by", "maker"),
        *("--category", "mayonnaise-opened", "--no-allergens"),
        *("--use-by", "1 Mar 2027", "--place", "Fridge"),
    )
    (code,) = cook.codes()
    cook.run("label", code, "--out", "a.pdf")

    seen = cook.see("scan", code, "--open", now=SUNDAY)

    assert "new label: USE BY" in seen
    tape = cook.see("label", code, "--plain", now=SUNDAY)
    assert "opened Sun 1 Nov 09:00" in tape
    assert "maker's date Mon 1 Mar 2027" in tape


def test_on_the_counter_the_label_says_the_hour(labelled):
    code = labelled.codes()[0]
    # 31 Oct 17:10 to 17:40 is not recorded and counts; 1 h 30 min are left of two.
    seen = labelled.see("scan", code, "--to", "Counter", now="2026-11-01T12:00")

    assert "new label" not in seen.splitlines()[-1].removesuffix("print a new label")
    tape = labelled.see("label", code, "--plain", now="2026-11-01T12:00")
    assert re.search(r"DISCARD AT\s+13:30 Sun 1 Nov", tape)


def test_a_printer_that_is_not_there_is_told_before_anything_is_recorded(labelled):
    before = labelled.event_count()

    refused = labelled.fail(11, "scan", labelled.codes()[0], "--freeze", "--print")

    assert "no printer for letter-3x10" in refused
    assert labelled.event_count() == before


def test_the_loop_remembers_what_needs_a_label(labelled):
    one, two, _ = labelled.codes()
    script = f"LABEL\nFREEZE\n{one}\n{two}\nLABEL\n"

    seen = labelled.see("scan", given=script, now=SUNDAY).splitlines()

    assert seen[0] == "no lid that was scanned needs a label"
    assert seen[-1].startswith("! no printer for letter-3x10 in this kitchen")


def test_taking_back_a_label_brings_the_one_before_it_back(labelled):
    code = labelled.codes()[0]
    labelled.run("scan", code, "--freeze", now=SUNDAY)
    labelled.run("label", code, "--out", "a.pdf", now=SUNDAY)
    labelled.run("undo", now=SUNDAY)

    assert "void" not in labelled.see("scan", f"HTTP://K.LAN/C/{code}", now=SUNDAY)
    bare = labelled.data("list", now=SUNDAY)["containers"]
    assert [one["code"] for one in bare if not one["labelled"]] == [code]
