"""What the repository may hold: known places, no machine paths, no huge files."""

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SRC = ROOT / "src"
MAX_LINES = 500

TOP_LEVEL = frozenset(
    "README.md DEVELOPERS.md LICENSE Makefile pyproject.toml requirements.txt "
    "docs labels sample_inventory src tests".split()
)

# Written in pieces, so that this file does not hold what it forbids.
HOMES = "|".join(["home", "root", "work", "Users", "tmp", "opt"])
REGISTRIES = "|".join(
    re.escape(first + second)
    for first, second in [
        ("py", "pi.org"),
        ("python", "hosted.org"),
        ("npm", "js.org"),
        ("npm", "js.com"),
        ("crates", ".io"),
        ("ana", "conda.org"),
        ("proxy.go", "lang.org"),
        ("ghcr", ".io"),
        ("docker", ".io"),
    ]
)
FORBIDDEN = re.compile(rf"(?<![\w.~-])/(?:{HOMES})/\w|\b(?:{REGISTRIES})\b")


def forbidden_in(text: str) -> list[str]:
    """Every machine path and registry host in `text`."""
    return FORBIDDEN.findall(text)


def text_of(path: Path) -> str | None:
    """The file's text, or None for fonts, images and other binary files."""
    content = path.read_bytes()
    return None if b"\0" in content else content.decode("utf-8", errors="replace")


@pytest.fixture(scope="module")
def tracked() -> list[str]:
    """Paths of the files git tracks, as they stand in the work tree."""
    command = ["git", "-c", f"safe.directory={ROOT}", "ls-files", "-z"]
    try:
        listed = subprocess.run(
            command, cwd=ROOT, capture_output=True, text=True, check=True
        )
    except (FileNotFoundError, subprocess.CalledProcessError) as error:
        pytest.skip(f"not a git checkout: {error}")
    names = [name for name in listed.stdout.split("\0") if (ROOT / name).is_file()]
    if not names:
        pytest.skip("git tracks no file here")
    return names


def test_top_level_holds_known_entries_only(tracked):
    tops = {name.split("/")[0] for name in tracked}
    strangers = {top for top in tops - TOP_LEVEL if not top.startswith(".")}

    assert strangers == set()


def test_no_tracked_file_names_a_machine_or_a_registry(tracked):
    found = {
        name: hits
        for name in tracked
        if (text := text_of(ROOT / name)) and (hits := forbidden_in(text))
    }

    assert found == {}


def test_no_source_file_is_longer_than_the_limit():
    lengths = {
        path.relative_to(ROOT).as_posix(): len(
            path.read_text(encoding="utf-8").splitlines()
        )
        for path in SRC.rglob("*.py")
    }
    too_long = {name: lines for name, lines in lengths.items() if lines > MAX_LINES}

    assert lengths
    assert too_long == {}


@pytest.mark.parametrize(
    "parts",
    [
        ("see /ho", "me/cook/kitchen"),
        ("file:///ro", "ot/x"),
        ("'/wo", "rk/main'"),
        ("https://py", "pi.org/simple"),
        ("files.python", "hosted.org"),
    ],
)
def test_a_machine_path_or_registry_is_noticed(parts):
    assert len(forbidden_in("".join(parts))) == 1


@pytest.mark.parametrize("text", ["docs/work/plan.md", "~/tmp/x", "a home / work day"])
def test_ordinary_words_are_not_mistaken_for_paths(text):
    assert forbidden_in(text) == []
