"""The pages about commands and exit codes are fresh and whole."""

import re
from pathlib import Path

from lidclock import errors
from lidclock.cli.docs import page
from lidclock.cli.main import COMMANDS

DOCS = Path(__file__).parents[2] / "docs"


def test_the_page_of_commands_is_fresh():
    assert (DOCS / "cli.md").read_text(encoding="utf-8") == page(), (
        "renew it: python -m lidclock.cli.docs > docs/cli.md"
    )


def test_every_command_is_on_the_page():
    headings = set(re.findall(r"^## lidclock ([\w-]+)$", page(), re.M))

    assert headings == set(COMMANDS)


def test_every_exit_code_is_explained():
    text = (DOCS / "exit-codes.md").read_text(encoding="utf-8")
    explained = {int(code) for code in re.findall(r"^\| (\d+) \|", text, re.M)}
    kinds = [errors.LidclockError, *errors.LidclockError.__subclasses__()]
    kinds += errors.StoreError.__subclasses__() + errors.LabelError.__subclasses__()

    assert {kind.exit_code for kind in kinds} <= explained


def test_no_help_is_without_a_purpose():
    blocks = re.findall(r"```text\n(.*?)```", page(), re.S)

    assert all(len(block.split("\n\n")[1].split()) > 1 for block in blocks)
