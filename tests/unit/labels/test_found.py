"""Fonts found on the machine: which are looked for, where, and in what order."""

from __future__ import annotations

from pathlib import Path

import pytest

from lidclock.errors import LabelError
from lidclock.labels import fonts, found


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A kitchen's own font folder, and no other; files in it may be empty."""
    monkeypatch.setenv(found.VARIABLE, str(tmp_path))
    monkeypatch.setattr(found, "folders", lambda: ())
    fonts.forget()
    yield tmp_path
    fonts.forget()


def put(folder: Path, *names: str) -> None:
    for name in names:
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).touch()


def names(script: str, *, bold: bool = False) -> list[tuple[str, bool]]:
    chosen = found.choices(script, bold=bold)
    return list(dict.fromkeys((one.path.name, one.thicken) for one in chosen))


@pytest.mark.parametrize("family", found.families(), ids=lambda one: one.regular)
def test_every_wanted_family_says_for_what_from_whom_and_on_what_terms(family):
    assert Path(family.regular).suffix in {".ttf", ".ttc"}
    assert all(len(script) == 4 for script in family.scripts)
    assert family.package.startswith("fonts-")
    assert family.licence


def test_the_kitchens_own_fonts_come_before_the_wanted_ones(folder):
    put(folder, "Zest.ttf", "NotoSansThai-Regular.ttf")

    assert names("Thai") == [
        ("NotoSansThai-Regular.ttf", False),
        ("Zest.ttf", False),
    ]


def test_a_family_is_wanted_for_its_own_scripts(tmp_path, monkeypatch):
    put(tmp_path, "NotoSansThai-Regular.ttf", "NotoSansLao-Regular.ttf")
    monkeypatch.delenv(found.VARIABLE, raising=False)
    monkeypatch.setattr(found, "folders", lambda: (str(tmp_path),))

    assert names("Laoo") == [("NotoSansLao-Regular.ttf", False)]


def test_a_bold_is_taken_where_there_is_one(folder):
    put(folder, "sub/NotoSansThai-Regular.ttf", "sub/NotoSansThai-Bold.ttf")

    assert names("Thai", bold=True)[0] == ("NotoSansThai-Bold.ttf", False)


def test_a_family_without_a_bold_is_thickened(folder):
    put(folder, "wqy-microhei.ttc")

    assert names("Hans", bold=True) == [("wqy-microhei.ttc", True)]


def test_slanted_fonts_and_other_files_are_left_alone(folder):
    put(folder, "Ours-Italic.ttf", "Ours-BoldOblique.ttf", "read me.txt", "Ours.ttf")

    assert names("Latn") == [("Ours.ttf", False)]


def test_a_folder_that_is_none_is_refused(monkeypatch):
    monkeypatch.setenv(found.VARIABLE, "no/such/folder")

    with pytest.raises(LabelError, match="LIDCLOCK_FONTS names no/such/folder"):
        list(found.choices("Thai", bold=False))


@pytest.mark.usefixtures("folder")
def test_packages_that_are_missing_are_named():
    assert found.packages("Thai") == ("fonts-noto-core",)


def test_a_package_that_is_here_is_not_named(tmp_path, monkeypatch):
    put(tmp_path, "NotoSansThai-Regular.ttf")
    monkeypatch.setattr(found, "folders", lambda: (str(tmp_path),))

    assert found.packages("Thai") == ()


def test_fonts_of_common_signs_come_after_those_of_the_script(folder):
    put(folder, "NotoSansThai-Regular.ttf", "NotoSansSymbols-Regular.ttf")
    own = {"NotoSansThai-Regular.ttf", "NotoSansSymbols-Regular.ttf"}
    wanted = [one.path.name for one in found.choices("Thai", bold=False)][len(own) :]

    assert wanted == ["NotoSansThai-Regular.ttf", "NotoSansSymbols-Regular.ttf"]
