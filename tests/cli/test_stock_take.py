"""`stock-take`: a place recounted by scanning, and what is recorded of it."""

import json

import pytest
import segno

from lidclock.scan.keyboard import SET_UP_TEXT

# As in tests/external/test_keyboard_layouts.py, from memory.
FRENCH = str.maketrans("0123456789AQWZM-./:%$*&?_]", "à&é\"'(-è_çQAZW?):!M5487§°$")
STRANGERS = ("4F7K2M0", "KDX2DXE", "24E9RHN")


@pytest.fixture
def freezer(dough):
    """Six boxes of bun dough in the freezer, two days later."""
    dough.run("scan", given="TO=Freezer\n" + lines(*dough.codes()))
    dough.now = "2026-11-02T18:00"
    return dough


def lines(*codes):
    return "".join(f"{code}\n" for code in codes)


def kinds(cook):
    """The kinds of everything recorded, the latest last."""
    return [json.loads(x)["kind"] for x in cook.see("export").splitlines()[1:]]


def person(monkeypatch):
    monkeypatch.setattr("lidclock.cli.stock_take._is_person", lambda: True)


def test_forty_boxes_five_gone_three_not_listed(cook):
    """The recount of a freezer: exactly 5 missing, exactly 3 not known."""
    cook.run(
        *("prep", "stew", "--category", "soup-stew", "--no-allergens", "--no-labels"),
        *("--count", "40", "--portion", "350g", "--place", "Freezer"),
    )
    codes = cook.codes()
    gone = [codes[index] for index in (3, 11, 12, 25, 39)]
    there = [code for code in codes if code not in gone]

    seen = cook.see("stock-take", "Freezer", given=lines(*there, *STRANGERS))

    told = seen.splitlines()
    assert len(codes) == 40
    assert "35 of 40  stew box 39" in told
    assert "Freezer: seen 35 of 40" in told
    assert "5 missing: 1750 g" in told
    assert "not known: 3; what has no lid yet is taken in with `lidclock adopt`" in told
    at = told.index("5 missing: 1750 g")
    assert [
        row.split("  ")[1].replace(" ", "") for row in told[at + 1 : at + 6]
    ] == gone
    data = cook.data("stock-take", "Freezer", given=lines(*there, *STRANGERS))
    assert [one["code"] for one in data["missing"]] == gone
    assert [one["code"] for one in data["unknown"]] == sorted(STRANGERS)
    assert (data["seen"], data["expected"]) == (35, 40)


def test_one_box_not_seen_is_named_with_ways_to_say_what_became_of_it(freezer):
    codes = freezer.codes()
    box_5 = codes.pop(4)

    seen = freezer.see("stock-take", "Freezer", given=lines(*codes, "done"))

    assert "5 of 6  bun dough box 6\nFreezer: seen 5 of 6\n" in seen
    assert "1 missing: box 5, 308 g" in seen
    assert f"eaten: `lidclock scan {box_5} --use`" in seen
    assert f"lost: `lidclock missing {box_5}`" in seen
    assert f"discarded: `lidclock scan {box_5} --discard WHY`" in seen
    assert "still there: nothing" in seen


def test_each_line_is_answered_and_a_second_scan_does_no_harm(freezer):
    one, two = freezer.codes()[:2]

    seen = freezer.see("stock-take", "Freezer", "-", given=lines(one, two, one))

    assert seen.splitlines()[:4] == [
        "1 of 6  bun dough box 1",
        "2 of 6  bun dough box 2",
        "scanned before: bun dough box 1",
        "Freezer: seen 2 of 6",
    ]


def test_done_ends_it_and_what_follows_is_not_read(freezer):
    one, two = freezer.codes()[:2]

    seen = freezer.see("stock-take", "Freezer", given=lines(one, "DONE", two))

    assert "Freezer: seen 1 of 6" in seen


def test_what_belongs_elsewhere_is_told_and_moved_only_when_asked(freezer):
    box_1, box_2 = freezer.codes()[:2]
    freezer.run("scan", box_1, "--thaw")
    given = lines(box_1, box_2)

    seen = freezer.see("stock-take", "Freezer", given=given)

    assert f"? {box_1[:3]} {box_1[3:]} bun dough box 1: was in Fridge\n" in seen
    assert "elsewhere: 1" in seen
    assert "1 lid from elsewhere left as recorded" in seen
    assert freezer.data("show", box_1)["place"] == "Fridge"

    seen = freezer.see("stock-take", "Freezer", "--move", given=given)

    assert "bun dough, box 1 of 6: frozen; " in seen
    assert freezer.data("show", box_1)["place"] == "Freezer"
    assert "elsewhere: 0" in freezer.see("stock-take", "Freezer", given=given)


def test_what_came_out_of_the_freezer_needs_to_be_told_since_when(freezer):
    """Moved now it would have been frozen up to now, though nobody knows that."""
    box_1 = freezer.codes()[0]

    seen = freezer.see("stock-take", "Fridge", "--move", given=lines(box_1))

    assert "was in Freezer" in seen
    assert f"since when is not recorded: `lidclock scan {box_1} --to Fridge" in seen
    assert freezer.data("show", box_1)["place"] == "Freezer"
    assert "placed" not in kinds(freezer)[-1:]


def test_what_is_over_is_not_put_into_the_freezer(stew):
    box_1 = stew.codes()[0]
    stew.now = "2026-11-09T12:00"

    seen = stew.see("stock-take", "Freezer", "--move", given=lines(box_1))

    assert "was in Fridge; OVER: discard it" in seen
    assert "past its last moment: freezing does not bring it back; discard it" in seen
    assert stew.data("show", box_1)["place"] == "Fridge"


def test_what_is_over_or_ends_today_is_told_at_once(stew):
    box_1, box_2, _ = stew.codes()
    stew.now = "2026-11-03T12:00"
    assert "box 1; its last day is today" in stew.see(
        "stock-take", "Fridge", given=lines(box_1)
    )
    stew.now = "2026-11-09T12:00"

    assert "box 2; OVER: discard it" in stew.see(
        "stock-take", "Fridge", given=lines(box_2)
    )


def test_what_was_missing_comes_back_into_the_place_where_it_is(freezer):
    box_1 = freezer.codes()[0]
    freezer.run("missing", box_1)

    seen = freezer.see("stock-take", "Freezer", "--move", given=lines(box_1))

    assert "bun dough box 1: was missing since Mon 2 Nov" in seen
    assert freezer.data("show", box_1)["place"] == "Freezer"


def test_a_lid_that_was_used_is_asked_about(freezer):
    box_1, box_2 = freezer.codes()[:2]
    freezer.run("scan", box_1, "--use")

    seen = freezer.see("stock-take", "Freezer", given=lines(box_1, box_2))

    assert "bun dough box 1: used Mon 2 Nov: is there something in it?" in seen
    assert "recorded as ended: 1" in seen
    assert "Freezer: seen 1 of 5" in seen


def test_without_a_last_day_it_is_unmarked_and_told(cook):
    cook.run(
        *("prep", "mystery", "--category", "yeast-dough-raw", "--no-labels"),
        *("--no-allergens", "--place", "Freezer"),
    )
    code = cook.codes()[0]

    seen = cook.see("stock-take", "Freezer", given=lines(code))

    assert "1 of 1  mystery; unmarked: no last day" in seen
    assert "unmarked: 1" in seen.splitlines()
    assert cook.data("stock-take", "Freezer", given=lines(code))["unmarked"] == [code]


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("4F7K2M0", "! not known: 4F7 K2M0 is not in this kitchen"),
        ("soup?", "! not known: 'soup?' is no code"),
        ("4006381333931", "! not known: that is a supplier's pack (GTIN 0400"),
        ("4006381333932", "! "),
        ("\x1b]0;owned\x07", "! not known: "),
        ("\u202egnorw", "! not known: "),
        ("9" * 5000, "! not known: "),
        ("x" + "\x01" * 99, "! not known: 'x"),
        (SET_UP_TEXT, "! not known: that is the set-up symbol"),
    ],
)
def test_whatever_is_scanned_gets_one_line_and_is_not_known(freezer, line, told):
    seen = freezer.see("stock-take", "Freezer", given=f"{line}\n")

    first = seen.splitlines()[0]
    assert first.startswith(told)
    assert not {"\x1b", "\x07", "\u202e"} & set(seen)
    assert max(map(len, seen.splitlines())) <= 110
    assert "not known: 1" in seen


def test_a_line_of_keys_that_print_nothing_is_nothing(freezer):
    seen = freezer.see("stock-take", "Freezer", given=f"{freezer.codes()[0]}\n\0\a\n")

    assert "! nothing in that line can be read" in seen
    assert "not known: 0" in seen


def test_an_action_symbol_does_nothing(freezer):
    codes = freezer.codes()

    seen = freezer.see("stock-take", "Freezer", given=lines("USE", "TO=1", *codes))

    assert "! a stock-take only counts: USE does nothing; DONE ends it" in seen
    assert "TO=1 does nothing" in seen
    assert "not known: 0" in seen
    assert len(freezer.codes()) == 6


def test_a_mistyped_code_names_the_nearest_of_the_place(freezer):
    code = freezer.codes()[0]
    wrong = code[1] + code[0] + code[2:]

    seen = freezer.see("stock-take", "Freezer", given=lines(wrong))

    near = f"did you mean {code[:3]} {code[3:]}?"
    assert near in seen.splitlines()[0] or code[0] == code[1]


def test_addresses_and_other_keyboards_are_read_as_printed(freezer):
    one, two = freezer.codes()[:2]
    freezer.run("scan", "--set-up", given=SET_UP_TEXT.translate(FRENCH) + "\n")
    given = lines(one, f"HTTP://LIDCLOCK.LOCAL/C/{two}").translate(FRENCH)

    seen = freezer.see("stock-take", "Freezer", given=given)

    assert "Freezer: seen 2 of 6" in seen
    assert "not known: 0" in seen


def test_a_void_label_on_the_lid_is_told(freezer):
    box_1 = freezer.codes()[0]
    freezer.run("label", box_1, "--out", "new.pdf")
    address = f"HTTP://LIDCLOCK.LOCAL/C/{box_1}"

    seen = freezer.see("stock-take", "Freezer", given=lines(address))

    assert (
        "1 of 6  bun dough box 1; label 1 (Thu 5 Nov 2026) is void: take it off"
        in (seen.splitlines()[0])
    )


def test_a_file_of_codes_stands_for_the_scanner(freezer):
    codes = freezer.codes()
    (freezer.folder / "codes.txt").write_text("\ufeff" + "\r\n".join(codes[:4]))

    seen = freezer.see("stock-take", "freezer", "--codes", "codes.txt")

    assert "Freezer: seen 4 of 6" in seen
    assert "not known: 0" in seen


def test_a_file_of_bytes_is_no_accident(freezer):
    (freezer.folder / "codes.bin").write_bytes(bytes(range(128, 256)) + b"\n\xff\n")

    seen = freezer.see("stock-take", "Freezer", "--codes", "codes.bin")

    assert "not known: 2" in seen


def test_every_lid_in_a_photo_is_counted(freezer):
    """Two symbols in one picture: a shelf, where `scan --image` wants one lid."""
    from PIL import Image

    codes = freezer.codes()[:2]
    shelf = Image.new("L", (900, 450), "white")
    for place, code in enumerate(codes):
        path = freezer.folder / f"{code}.png"
        segno.make_qr(f"HTTP://LIDCLOCK.LOCAL/C/{code}").save(path, scale=8, border=4)
        with Image.open(path) as symbol:
            shelf.paste(symbol.convert("L"), (20 + place * 440, 40))
    shelf.save(freezer.folder / "shelf.png")

    seen = freezer.see("stock-take", "Freezer", "--image", "shelf.png")

    assert "Freezer: seen 2 of 6" in seen
    assert "not known: 0" in seen


def test_nothing_is_recorded_of_a_container_unless_it_is_said(freezer):
    before = freezer.event_count()
    code = freezer.codes()[0]

    freezer.run("stock-take", "Freezer", given=lines(code))
    freezer.run("stock-take", "Freezer", "--missing", "leave", given=lines(code))

    assert kinds(freezer)[before:] == ["noted", "noted"]
    assert len(freezer.codes()) == 6
    assert freezer.see("undo") == "undone: stock-take\n"


def test_all_that_was_not_seen_can_be_lost_and_one_undo_brings_it_back(freezer):
    codes = freezer.codes()
    before = freezer.see("list")

    seen = freezer.see(
        *("stock-take", "Freezer", "--missing", "lost"), given=lines(codes[0])
    )

    assert "5 lost: recorded as missing" in seen
    assert freezer.codes() == [codes[0]]
    assert freezer.see("list").count("missing since Mon 2 Nov 18:00") == 5

    freezer.run("undo")

    assert freezer.see("list") == before
    assert "nothing differed" in freezer.see("rebuild")


def test_a_place_where_nothing_was_scanned_loses_nothing(freezer):
    before = freezer.event_count()

    told = freezer.fail(13, "stock-take", "Freezer", "--missing", "lost", given="done")

    assert "no lid was scanned, so nothing is recorded" in told
    assert freezer.event_count() == before


def test_an_empty_place_is_counted_with_nothing_in_it(freezer):
    seen = freezer.see("stock-take", "Counter", given="")

    assert "Counter: seen 0 of 0" in seen
    assert "recorded: Counter was counted" in seen


def test_a_person_says_of_each_what_became_of_it(freezer, monkeypatch):
    person(monkeypatch)
    codes = freezer.codes()
    answers = lines("e", "lost", "d freezer burn", codes[4], "")

    seen = freezer.see("stock-take", "Freezer", given=lines(codes[0], "done") + answers)

    assert "bun dough box 2, 308 g> " in seen
    for told in ("1 eaten", "1 lost", "1 discarded", "1 still there"):
        assert told in seen
    assert "nothing is recorded of 1 container not seen" in seen
    ends = [freezer.data("show", code)["ended"] for code in codes]
    assert ends == [None, "used", "missing", "discarded", None, None]
    assert freezer.data("show", codes[3])["ended_reason"] == "freezer burn"
    body = json.loads(freezer.see("export").splitlines()[-1])["body"]
    assert (body["seen"], body["missing"]) == (
        2,
        [codes[1], codes[2], codes[3], codes[5]],
    )

    freezer.run("undo")

    assert freezer.codes() == codes


@pytest.mark.parametrize("answer", ["x", "e 4", "l2", "D2K", "eat", "4F7K2M0", "yes"])
def test_what_is_no_answer_is_asked_again(freezer, monkeypatch, answer):
    """A lid whose code begins with D is no `discarded`."""
    person(monkeypatch)
    codes = freezer.codes()
    given = lines(*codes[:5], "done", answer, "")

    seen = freezer.see("stock-take", "Freezer", given=given)

    assert seen.count("bun dough box 6, 307 g> ") == 2
    assert "e, l, d, s or Enter" in seen
    assert freezer.codes() == codes


@pytest.mark.parametrize("end", [(), ("DONE", "e")])
def test_the_end_leaves_the_rest_as_it_is(freezer, monkeypatch, end):
    person(monkeypatch)
    codes = freezer.codes()

    freezer.run("stock-take", "Freezer", given=lines(codes[0], "done", "l", *end))

    assert freezer.codes() == [codes[0], *codes[2:]]


def test_eaten_after_its_last_moment_needs_the_time(stew, monkeypatch):
    person(monkeypatch)
    box_1, *others = stew.codes()
    stew.now = "2026-11-09T12:00"

    seen = stew.see("stock-take", "Fridge", given=lines(*others, "done", "e"))

    assert f"if it was eaten before, `lidclock scan {box_1} --use --at TIME`" in seen
    assert box_1 in stew.codes()


def test_a_person_is_asked_once_about_what_belongs_elsewhere(freezer, monkeypatch):
    person(monkeypatch)
    codes = freezer.codes()
    for code in codes[:2]:
        freezer.run("scan", code, "--thaw")
    given = lines(*codes, "done")

    seen = freezer.see("stock-take", "Freezer", given=given + "n\n")
    assert seen.count("record the 2 lids from elsewhere as in Freezer now? [y/N]") == 1
    assert freezer.data("show", codes[0])["place"] == "Fridge"

    freezer.run("stock-take", "Freezer", given=given + "y\n")
    assert freezer.data("show", codes[0])["place"] == "Freezer"


@pytest.mark.parametrize("word", ["quit", "EXIT"])
@pytest.mark.parametrize("when", ["while scanning", "while answering"])
def test_one_that_was_stopped_records_nothing(freezer, monkeypatch, word, when):
    person(monkeypatch)
    before = freezer.event_count()
    code = freezer.codes()[0]
    given = lines(code, "done", "l", word) if "answer" in when else lines(code, word)

    told = freezer.fail(130, "stock-take", "Freezer", given=given)

    assert told == "stopped: nothing of this stock-take is recorded"
    assert freezer.event_count() == before


def test_ctrl_c_records_nothing_and_says_so(freezer, monkeypatch):
    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("lidclock.app.stock_take.StockTake.hear", interrupted)
    before = freezer.event_count()

    told = freezer.fail(130, "stock-take", "Freezer", given="x\n")

    assert told == "stopped: nothing of this stock-take is recorded"
    assert freezer.event_count() == before


def test_json_stands_alone_with_what_was_recorded(freezer):
    codes = freezer.codes()
    freezer.run("scan", codes[0], "--thaw")
    given = lines(*codes[:4], "scrawl", STRANGERS[0])

    result = freezer.run(
        *("stock-take", "Freezer", "--json", "--missing", "lost", "--move"),
        given=given,
    )

    data = json.loads(result.stdout)
    assert result.stderr.splitlines()[1] == "1 of 5  bun dough box 2"
    assert (data["place"], data["seen"], data["expected"]) == ("Freezer", 3, 5)
    assert [one["code"] for one in data["missing"]] == codes[4:]
    assert [one["text"] for one in data["unknown"]] == [STRANGERS[0], "scrawl"]
    assert [one["code"] for one in data["elsewhere"]] == [codes[0]]
    assert data["elsewhere"][0]["why_not_moved"] is None
    assert data["recorded"] == {"placed": [codes[0]], "missing": codes[4:]}


def test_a_stock_take_comes_through_export_and_import(freezer):
    codes = freezer.codes()
    freezer.run("stock-take", "Freezer", "--missing", "lost", given=lines(codes[0]))
    freezer.run("export", "kitchen.jsonl")
    before = freezer.see("list")
    freezer.database = freezer.folder / "other.db"

    freezer.run("import", "kitchen.jsonl")

    assert freezer.see("list") == before
    assert "nothing differed" in freezer.see("rebuild")
    assert freezer.see("import", "kitchen.jsonl").startswith("0 new events")


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"seen": None}, "a stock-take counts with whole numbers"),
        ({"missing": "all"}, "a stock-take's missing are codes"),
        ({"place": "Fridge"}, "stands under 'plan/stock-take/freezer'"),
        ({"expected": 9}, "do not add up"),
    ],
)
def test_a_malformed_stock_take_is_not_imported(freezer, change, told):
    freezer.run("stock-take", "Freezer", given=lines(*freezer.codes()))
    *events, last = freezer.see("export").splitlines()
    event = json.loads(last)
    event["body"] |= change
    path = freezer.folder / "bad.jsonl"
    path.write_text("\n".join([*events, json.dumps(event)]))
    freezer.database = freezer.folder / "other.db"

    refused = freezer.fail(2, "import", "bad.jsonl")

    assert refused.startswith("Error: bad.jsonl: ")
    assert told in refused
    assert not freezer.database.exists()


def test_a_stock_take_without_its_counts_is_not_imported(freezer):
    freezer.run("stock-take", "Freezer", given=lines(*freezer.codes()))
    *events, last = freezer.see("export").splitlines()
    path = freezer.folder / "bad.jsonl"
    path.write_text("\n".join([*events, last.replace('"expected"', '"expect"')]))

    assert "a stock-take lacks 'expected'" in freezer.fail(2, "import", "bad.jsonl")


def test_a_place_that_is_not_there_is_named(freezer):
    assert "no place 'Cellar'" in freezer.fail(11, "stock-take", "Cellar", given="")


@pytest.mark.parametrize(
    "options",
    [("--codes", "a", "--image", "b"), ("-", "--codes", "a"), ("-", "--image", "b")],
)
def test_one_source_of_lids_at_a_time(freezer, options):
    freezer.fail(2, "stock-take", "Freezer", *options)


def test_a_file_that_is_missing_is_named(freezer):
    told = freezer.fail(2, "stock-take", "Freezer", "--codes", "nothing.txt")

    assert told.startswith("Error: cannot read nothing.txt: No such file")
