"""Suppliers' symbols: told apart in the loop, read when a pack is opened."""

import json

import pytest

GTIN = "09501101530003"
SYMBOL = f"(01){GTIN}(17)261231(10)AB12"
TOFU = ("open", "tofu", "--category", "tofu", "--place", "Fridge")


def filled(cook):
    """The bodies of the fillings so far."""
    events = map(json.loads, cook.run("export").stdout.splitlines()[1:])
    return [event["body"] for event in events if event["kind"] == "filled"]


def test_the_loop_tells_what_the_pack_says_and_what_to_do(stew):
    seen = stew.see("scan", given=f"]C101{GTIN}10AB12\x1d17261231\n")

    assert seen == (
        f"! that is a supplier's pack (GTIN {GTIN}, lot AB12, use by Thu 31 Dec 2026): "
        f"`lidclock open --symbol '(01){GTIN}(10)AB12(17)261231'`\n"
    )


def test_a_pack_among_lids_leaves_the_action_in_force(stew):
    code = stew.codes()[0]

    seen = stew.see("scan", given=f"FREEZE\n4006381333931\n{code}\n")

    assert "frozen" in seen.splitlines()[2]


def test_a_faulty_symbol_is_told_with_its_fault(stew):
    seen = stew.see("scan", given="]C11526123110AB12\n4006381333932\n")

    first, second = seen.splitlines()
    assert "(15) without a GTIN" in first
    assert "check digit is wrong" in second


def test_a_lot_cannot_run_a_command_when_the_hint_is_pasted(stew):
    seen = stew.see("scan", given=f"]C101{GTIN}10A';ls;'\n")

    assert f"""--symbol '(01){GTIN}(10)A'"'"';ls;'"'"''`""" in seen


def test_a_supplier_is_no_code_for_scan(stew):
    assert "supplier's pack" in stew.fail(13, "scan", SYMBOL)


def test_use_by_and_lot_come_from_the_symbol(cook):
    seen = cook.see(*TOFU, "--symbol", SYMBOL)

    body = filled(cook)[0]
    assert f"on the pack: GTIN {GTIN}, lot AB12, use by Thu 31 Dec 2026" in seen
    assert body["maker_use_by"] == "2026-12-31"
    assert (body["lot"], body["gtin"]) == ("AB12", GTIN)


def test_the_makers_date_binds_when_it_comes_first(cook):
    seen = cook.see(*TOFU, "--symbol", f"(01){GTIN}(17)261101")

    assert "use by Sun 1 Nov 2026" in seen


def test_day_00_is_the_last_of_the_month(cook):
    cook.run(*TOFU, "--symbol", f"(01){GTIN}(17)280200")

    assert filled(cook)[0]["maker_use_by"] == "2028-02-29"


def test_a_best_before_is_shown_as_quality_and_never_taken(cook):
    seen = cook.see(*TOFU, "--symbol", f"(01){GTIN}(15)261101")

    assert "best before Sun 1 Nov 2026, which is quality only" in seen
    assert "maker_use_by" not in filled(cook)[0]
    assert "use by Wed 4 Nov" in seen


def test_the_next_pack_is_known_by_its_number(cook):
    cook.run(*TOFU, "--symbol", SYMBOL)

    seen = cook.see("open", "--symbol", f"]E0{GTIN[1:]}", "--place", "Fridge")

    assert "tofu  Fridge" in seen


def test_the_latest_name_for_a_number_counts(cook):
    cook.run(*TOFU, "--symbol", SYMBOL)
    cook.run(
        *("open", "smoked tofu", "--category", "tofu", "--symbol", SYMBOL),
        now="2026-10-31T18:00",
    )

    seen = cook.see("open", "--symbol", SYMBOL, now="2026-10-31T18:10")

    assert "  smoked tofu  " in seen


def test_a_filling_taken_back_is_not_remembered(cook):
    cook.run(*TOFU, "--symbol", SYMBOL)
    cook.run("undo")

    assert "was opened here before" in cook.fail(11, "open", "--symbol", SYMBOL)


def test_an_unknown_number_asks_for_the_food(cook):
    told = cook.fail(11, "open", "--symbol", SYMBOL)

    assert GTIN in told
    assert "name its food" in told
    assert cook.event_count() == 0


def test_a_number_of_one_shop_is_never_remembered(cook):
    """Case rcn-04 of tests/external/data/gs1_checks.json."""
    cook.run(*TOFU, "--symbol", "0400000000015")

    assert "gtin" not in filled(cook)[0]
    assert "by a shop's number" in cook.fail(11, "open", "--symbol", "0400000000015")


def test_a_scan_can_be_read_from_the_keyboard(cook):
    cook.run(*TOFU, "--symbol", "-", given=f"]C101{GTIN}10AB12\x1d17261231\r\n")

    assert filled(cook)[0]["maker_use_by"] == "2026-12-31"


def test_a_typed_date_may_be_earlier_than_the_makers(cook):
    cook.run(*TOFU, "--symbol", SYMBOL, "--use-by", "2 Nov 2026")

    assert filled(cook)[0]["maker_use_by"] == "2026-11-02"


@pytest.mark.parametrize(
    ("more", "reason"),
    [
        (("--use-by", "2 Jan 2027"), "Sat 2 Jan 2027 is later"),
        (("--lot", "other"), "the pack says lot AB12"),
    ],
)
def test_what_contradicts_the_pack_is_refused(cook, more, reason):
    assert reason in cook.fail(2, *TOFU, "--symbol", SYMBOL, *more)
    assert cook.event_count() == 0


@pytest.mark.parametrize(
    ("symbol", "reason"),
    [
        ("(15)261231(10)AB12", "without a GTIN"),
        ("hello", "it holds no GTIN"),
        ("", "it holds no GTIN"),
        ("4006381333932", "check digit is wrong"),
    ],
)
def test_a_symbol_that_is_none_opens_nothing(cook, symbol, reason):
    assert reason in cook.fail(2, *TOFU, "--symbol", symbol)
    assert cook.event_count() == 0


def test_a_lid_of_this_kitchen_is_no_pack(stew):
    code = stew.codes()[0]

    assert f"`lidclock scan {code} --open`" in stew.fail(2, *TOFU, "--symbol", code)


def test_without_food_and_symbol_nothing_can_be_opened(cook):
    assert "name the FOOD, or give --symbol" in cook.fail(2, "open")


def test_a_number_is_known_in_a_copy_of_the_kitchen_as_well(cook, tmp_path):
    cook.run(*TOFU, "--symbol", SYMBOL)
    (tmp_path / "kitchen.jsonl").write_text(cook.see("export"))
    cook.database = tmp_path / "copy.db"
    cook.run("import", "kitchen.jsonl")

    assert "tofu  no place" in cook.see("open", "--symbol", SYMBOL)
    cook.run("rebuild")
