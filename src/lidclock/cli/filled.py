"""What filling containers looks like: lines for the cook, and the label sheet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lidclock.cli.options import echo_lines
from lidclock.cli.show import (
    box,
    columns,
    date_word,
    mass,
    plural,
    prefixed,
    reason_lines,
    status_line,
)
from lidclock.domain.codes import spaced
from lidclock.domain.moments import say_hours

if TYPE_CHECKING:
    from lidclock.app.lids import Drawn, Printed
    from lidclock.app.prep import Filled
    from lidclock.app.printing import JobReport, Printer
    from lidclock.app.session import Session, Unit, View

# A longer gap before the first place is worth a remark to the cook.
GAP = timedelta(hours=1)
print_option = click.option(
    "--print",
    "printer",
    is_flag=False,
    flag_value="",
    metavar="[PRINTER]",
    help="Print at once, on PRINTER or the one that has the stock in it.",
)


def filled_lines(filled: Filled) -> list[str]:
    """One line a container, then the verdict and why, remarks, what is unknown."""
    first = filled.views[0]
    lines = columns([_row(view) for view in filled.views])
    lines.append(status_line(first.verdict))
    lines += reason_lines(first.verdict)
    lines += _gap_lines(first)
    lines += filled.remarks
    told = first.verdict.unknown[1 if first.verdict.blockers else 0 :]
    return lines + prefixed("not known", told)


def _row(view: View) -> list[str]:
    from lidclock.app.scanning import last_words

    verdict, container = view.verdict, view.container
    if verdict.last_day is not None:
        when = f"{date_word(verdict.is_house_rule)} {last_words(verdict)}"
    else:
        when = "frozen" if verdict.status == "paused" else "no last day"
    return [
        spaced(view.code),
        view.food.name,
        box(container.index, container.of),
        mass(container.mass_g),
        container.place or "no place",
        when,
    ]


def _gap_lines(view: View) -> list[str]:
    """A long time between making and placing, and how to put it right."""
    stays = view.inventory.history_of(view.container).stays
    first = stays[0] if stays else None
    if first is None or first.recorded or first.ended is None:
        return []
    gap = first.ended - first.began
    if gap <= GAP:
        return []
    return [
        f"{say_hours(gap)} between making and {view.container.place or 'its place'} "
        "are charged as counter time; if it was put there sooner: "
        f"`lidclock correct {view.code} --placed TIME`"
    ]


def free_path(stem: str, folder: Path) -> Path:
    """`stem.pdf` in `folder`, or `stem-2.pdf` and so on: nothing is overwritten."""
    path, number = folder / f"{stem}.pdf", 1
    while path.exists():
        number += 1
        path = folder / f"{stem}-{number}.pdf"
    return path


def printed_lines(printed: Printed, *, checked: bool) -> list[str]:
    """Where the labels are, whether every symbol read back, what was cut short."""
    where = "labels" if isinstance(printed.path, Path) else "printed"
    what = f"{plural(len(printed.labels), 'label')}, {plural(printed.pages, 'page')}"
    if not checked:
        verdict = "symbols not read back (--no-verify)"
    elif printed.findings:
        verdict = f"{plural(len(printed.findings), 'symbol')} did not read back:"
    else:
        verdict = "every symbol read back"
    return [
        f"{where}: {printed.path} ({what}); {verdict}",
        *(f"  {finding}" for finding in printed.findings),
        *_late_lines(printed.late_marks),
        *(
            f"{part} shortened on {plural(lids, 'lid')}"
            for part, lids in Counter(printed.shortened).items()
        ),
    ]


def rest_lines(next_free: int) -> list[str]:
    """Where the next labels go on a sheet that is not used up."""
    if next_free == 1:
        return []
    return [f"the sheet goes on at label {next_free}: next time `--start {next_free}`"]


def _late_lines(count: int) -> list[str]:
    if not count:
        return []
    return [
        f"{plural(count, 'old mark')} later than the limit: take it off the lid, "
        "so that only the new one counts"
    ]


def draw_filled(
    unit: Unit, filled: Filled, printer: Printer, *, check: bool = True
) -> Drawn:
    """The labels for a printer, drawn in the unit that fills.

    What cannot be drawn is then not filled either; printing comes after the unit.
    """
    from lidclock.app import lids

    return lids.draw_labels(
        unit,
        filled.views,
        stock=printer.stock,
        check=check,
        act=filled.act,
        offset_mm=printer.offset_mm,
    )


def print_now(
    session: Session,
    drawn: Drawn,
    printer: Printer,
    *,
    checked: bool,
    copy: Path | None = None,
) -> JobReport:
    """Print drawn labels and say so; a failure is for the caller to tell."""
    from lidclock.app import printing
    from lidclock.app.lids import Printed

    report = printing.print_drawn(session, drawn, printer, tell=click.echo)
    if report.is_printed:
        echo_lines(printed_lines(Printed.of(drawn, printer.name), checked=checked))
        if copy is not None:
            click.echo(f"copy: {printing.keep_pdf(drawn, copy).path}")
    return report


def print_or_keep(
    session: Session,
    drawn: Drawn,
    printer: Printer,
    *,
    checked: bool,
    copy: Path | None,
    spare: Path,
) -> None:
    """Print drawn labels; where that fails, say why and keep them as a file.

    What was filled stays recorded, the lids count as unlabelled.
    """
    from lidclock.app import printing

    report = print_now(session, drawn, printer, checked=checked, copy=copy)
    if report.is_printed:
        return
    kept = printing.keep_pdf(drawn, copy or spare)
    echo_lines(
        [
            f"not printed: {report.message}",
            *printed_lines(kept, checked=checked),
            "the lids count as unlabelled: `lidclock label --unlabelled --print` "
            "tries again",
        ]
    )


def label_anew(
    session: Session, views: Sequence[View], printer: Printer | None, out: Path | None
) -> None:
    """Make the labels that these containers need now, or say how to.

    What was recorded stays recorded, whatever becomes of the labels.
    """
    from lidclock.app import lids
    from lidclock.app.remarks import needs_no_label, proposes_label

    live = [view for view in views if view.container.is_live]
    if printer is None and out is None:
        bare = [x for x in live if proposes_label(x) and not needs_no_label(x)]
        echo_lines(_offer_lines(session, bare))
        return
    if not live:
        click.echo("no label: there is nothing left in it")
        return
    codes = [view.code for view in live]
    if printer is not None:
        with session.read() as unit:
            found = lids.views_to_label(unit, codes)
            drawn = lids.draw_labels(
                unit, found, stock=printer.stock, offset_mm=printer.offset_mm
            )
        spare = free_path("labels", Path())
        print_or_keep(session, drawn, printer, checked=True, copy=out, spare=spare)
    elif out is not None:
        with session.write() as unit:
            printed = lids.print_labels(unit, lids.views_to_label(unit, codes), out)
        echo_lines(printed_lines(printed, checked=True))


def _offer_lines(session: Session, views: Sequence[View]) -> list[str]:
    """What a new label would say, and how to get it."""
    from lidclock.app.wording import label_for

    lines: list[str] = []
    if not views:
        return lines
    for view in views:
        label = label_for(view, session)
        note = f" ({label.headline_note})" if label.headline_note else ""
        lines.append(f"new label: {label.headline_word} {label.headline}{note}")
    codes = " ".join(view.code for view in views)
    return [*lines, f"print it: `lidclock label {codes} --print`, or --out FILE.pdf"]
