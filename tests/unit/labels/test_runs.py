"""Runs: a face for each part of a text, and a refusal that names what is missing."""

from __future__ import annotations

import pytest

from lidclock.labels import fonts, found, runs


@pytest.fixture
def bare(monkeypatch):
    """A machine with the shipped faces only."""
    monkeypatch.delenv(found.VARIABLE, raising=False)
    monkeypatch.setattr(found, "folders", lambda: ())
    fonts.forget()
    yield
    fonts.forget()


def parts(text: str) -> list[str]:
    return [text[run.start : run.end] for run in runs.split(text, bold=False)]


@pytest.mark.parametrize(
    ("text", "letters"),
    [
        ("ab", ["a", "b"]),
        ("k\u0302o", ["k\u0302", "o"]),
        ("กุ้ง", ["กุ้", "ง"]),
        ("น้ำ", ["น้ำ"]),
        ("क्षीर", ["क्षी", "र"]),
        ("ශ්\u200dරී", ["ශ්\u200dරී"]),
        ("\u1100\u1161\u11a8가", ["\u1100\u1161\u11a8", "가"]),
        ("👩🏽a", ["👩🏽", "a"]),
        ("a \u0302", ["a", " ", "\u0302"]),
    ],
)
def test_a_letter_keeps_its_marks(text, letters):
    assert runs.clusters(text) == letters


def test_plain_text_is_one_run_without_a_face():
    assert [run.style for run in runs.split("Soup 12", bold=False)] == [None]


def test_directions_part_a_text():
    assert parts("Soup אבג 12") == ["Soup ", "אבג ", "12"]


@pytest.mark.usefixtures("bare")
def test_a_run_has_one_face_for_all_letters_of_a_script():
    styles = {run.style for run in runs.split("אב, גד (ה)", bold=True)}

    assert len(styles) == 1


def test_right_to_left_signs_are_shaped_with_their_neighbours():
    (run,) = runs.split("אב (ג)", bold=False)

    assert (run.level, run.script) == (1, "Hebr")


@pytest.mark.usefixtures("bare")
def test_missing_characters_are_named_with_point_name_and_package():
    with pytest.raises(runs.UncoveredError) as refusal:
        runs.split("สตู soup", bold=False)

    told = str(refusal.value)
    assert "U+0E2A THAI CHARACTER SO SUA" in told
    assert "Debian package fonts-noto-core" in told
    assert refusal.value.letters[0] == "\u0e2a"


@pytest.mark.parametrize(
    ("text", "package"),
    [
        ("豚汁", "fonts-wqy-microhei"),
        ("すし", "fonts-vlgothic"),
        ("김치", "fonts-nanum"),
    ],
)
@pytest.mark.usefixtures("bare")
def test_the_package_fits_the_language(text, package):
    with pytest.raises(runs.UncoveredError, match=package):
        runs.split(text, bold=False)


@pytest.mark.usefixtures("bare")
def test_ideographs_beside_kana_are_set_in_a_japanese_font():
    """Chinese fonts draw shared ideographs their own way."""
    with pytest.raises(runs.UncoveredError, match="package fonts-ipafont-gothic or"):
        runs.split("煮込み", bold=False)


@pytest.mark.usefixtures("bare")
def test_a_long_list_of_missing_characters_is_cut_short():
    with pytest.raises(runs.UncoveredError, match=", 2 more, which"):
        runs.split("一二三四五六七", bold=False)


@pytest.mark.parametrize("letter", ["\ue000", "\u0378", "\U0010ffff", "\x07"])
def test_characters_without_a_name_are_refused(letter):
    with pytest.raises(runs.UncoveredError, match="without a name"):
        runs.split(f"soup {letter}", bold=False)


@pytest.mark.usefixtures("bare")
def test_lao_is_not_set_in_the_shipped_faces():
    """Their tone marks run into the vowels below them."""
    with pytest.raises(runs.UncoveredError, match="LAO LETTER"):
        runs.split("ເຂົ້າ", bold=False)
