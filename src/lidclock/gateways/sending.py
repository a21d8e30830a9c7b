"""Getting a job taken: the right format, the right size, and patience while busy."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from lidclock.domain.sentences import figure, sentence
from lidclock.errors import PrinterError
from lidclock.gateways import ipp_message as ipp
from lidclock.gateways.facts import PrinterFacts
from lidclock.gateways.ipp import (
    FORMAT_REFUSED,
    VALUES_REFUSED,
    IppPrinter,
    Refusal,
    keyword,
)
from lidclock.gateways.ipp_message import Attribute
from lidclock.gateways.job import LOST, Patience, PrintJob, Tell
from lidclock.gateways.media import Size, fitting, named_among, say_offers

PDF, RASTER = "application/pdf", "image/pwg-raster"
TRUE_SIZE, ONE_SIDED = "none", "one-sided"
Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True)
class Sender:
    """One job on its way to one printer."""

    printer: IppPrinter
    job: PrintJob
    facts: PrinterFacts
    patience: Patience
    tell: Tell

    def send(self) -> int:
        """The number of the job the printer took; PrinterError if it takes none."""
        kind, octets = self._document()
        operation = self._operation(kind)
        ticket = [self._media(), *self._wishes()]
        while (refusal := self._validate(operation, ticket)) is not None:
            ticket = self._less(ticket, refusal)
        taken = self._patiently(lambda: self._submit(octets, operation, ticket))
        if isinstance(taken, Refusal):
            raise self._refused(taken)
        return taken

    def _validate(
        self, operation: Sequence[Attribute], ticket: Sequence[Attribute]
    ) -> Refusal | None:
        return self._patiently(lambda: self.printer.validate(operation, ticket))

    def _submit(
        self,
        octets: bytes,
        operation: Sequence[Attribute],
        ticket: Sequence[Attribute],
    ) -> int | Refusal:
        try:
            return self.printer.submit(octets, operation, ticket)
        except PrinterError as error:
            if error.reason in ("not-reachable", "not-ipp"):
                raise gone(self.printer.name) from error
            raise

    def _patiently(self, ask: Callable[[], Answer]) -> Answer:
        """Ask again, later each time, while the printer is busy with something else."""
        answer = ask()
        for seconds in self.patience.busy_waits:
            if not isinstance(answer, Refusal) or not answer.is_busy:
                break
            self.tell(f"{self.printer.name} is busy: trying again")
            self.patience.wait(seconds)
            answer = ask()
        if isinstance(answer, Refusal) and answer.is_busy:
            raise PrinterError(
                sentence(
                    "{printer} is busy with another job and stayed so for {seconds} s; "
                    "print again when it is free",
                    printer=self.printer.name,
                    seconds=figure(float(f"{sum(self.patience.busy_waits):.3g}")),
                ),
                "busy",
            )
        return answer

    def _document(self) -> tuple[str, bytes]:
        """PDF, or the same pages as dots for a printer that knows no PDF."""
        formats, job = self.facts.formats, self.job
        if not formats or PDF in formats:
            return PDF, job.pdf
        if RASTER in formats and job.raster is not None:
            dpis = self.facts.dpis or (job.dpi,)
            return RASTER, job.raster(job.pdf, min(dpis, key=self._how_far))
        raise PrinterError(
            sentence(
                "{printer} takes neither PDF nor PWG raster, only {formats}; print the "
                "PDF from a computer that has its driver",
                printer=self.printer.name,
                formats=", ".join(formats),
            ),
            "refused-format",
        )

    def _how_far(self, dpi: int) -> int:
        return abs(dpi - self.job.dpi)

    def _operation(self, kind: str) -> list[Attribute]:
        """Fidelity is asked for: a label on the wrong paper is worse than none."""
        return [
            Attribute("requesting-user-name", ipp.NAME, (self.job.who or "lidclock",)),
            Attribute("job-name", ipp.NAME, (self.job.title,)),
            Attribute("ipp-attribute-fidelity", ipp.BOOLEAN, (True,)),
            Attribute("document-format", ipp.MIME, (kind,)),
        ]

    def _media(self) -> Attribute:
        """The page's size; for a printer that takes only names, the name it has.

        No margins are asked for: margins of zero make some printers enlarge the page.
        """
        if self.facts.takes_sizes:
            return media_col(fitting(self.job.size, self.facts.offers) or self.job.size)
        name = named_among(self.job.size, self.facts.media_names)
        if name is None:
            raise self._wrong_media()
        return keyword("media", name)

    def _wishes(self) -> list[Attribute]:
        """True size, and nothing on the back of a sheet of labels."""
        wishes = [keyword("print-scaling", TRUE_SIZE)]
        if ONE_SIDED in self.facts.sides:
            wishes.append(keyword("sides", ONE_SIDED))
        return wishes

    def _less(self, ticket: list[Attribute], refusal: Refusal) -> list[Attribute]:
        """The ticket without the wishes that are refused; the size is no wish.

        A printer that knows no scaling prints at true size anyhow; one that knows it
        and not `none` would not.
        """
        left = [one for one in ticket if not refusal.names(one.name)]
        scales = refusal.names("print-scaling") and self.facts.scalings
        if refusal.names("media") or scales or left == ticket:
            raise self._refused(refusal)
        return left

    def _refused(self, refusal: Refusal) -> PrinterError:
        name = self.printer.name
        if refusal.names("media") or self._is_about_size(refusal):
            return self._wrong_media()
        if refusal.names("print-scaling"):
            return PrinterError(
                sentence(
                    "{printer} cannot print at true size (print-scaling none): labels "
                    "would neither fit nor scan; use another printer",
                    printer=name,
                ),
                "refused-scaling",
            )
        if refusal.status == FORMAT_REFUSED:
            return PrinterError(
                sentence(
                    "{printer} refuses the document's format ({why}); print the PDF by "
                    "hand",
                    printer=name,
                    why=refusal.message or sentence("no reason given"),
                ),
                "refused-format",
            )
        return self.printer.trouble(refusal)

    def _is_about_size(self, refusal: Refusal) -> bool:
        """Whether a refusal that names nothing is explained by the size."""
        offers = self.facts.offers
        is_silent = refusal.status == VALUES_REFUSED and not refusal.unsupported
        return is_silent and bool(offers) and fitting(self.job.size, offers) is None

    def _wrong_media(self) -> PrinterError:
        return wrong_media(self.printer.name, self.job, self.facts)


def media_col(size: Size) -> Attribute:
    """`media-col` with nothing but a size."""
    sides = (
        Attribute("x-dimension", ipp.INTEGER, (size.x,)),
        Attribute("y-dimension", ipp.INTEGER, (size.y,)),
    )
    media_size = Attribute("media-size", ipp.COLLECTION, (sides,))
    return Attribute("media-col", ipp.COLLECTION, ((media_size,),))


def wrong_media(name: str, job: PrintJob, facts: PrinterFacts) -> PrinterError:
    """What to say of a size that the printer does not take."""
    takes = say_offers(facts.offers) or sentence("no size that it tells")
    return PrinterError(
        sentence(
            "{printer} refuses pages of {size} ({stock}); it takes {sizes}; choose "
            "another stock or printer",
            printer=name,
            size=str(job.size),
            stock=job.stock,
            sizes=takes,
        ),
        "refused-media",
    )


def gone(name: str) -> PrinterError:
    """A printer that was there and is not: nobody knows what came out."""
    return PrinterError(
        sentence(
            "{printer} went away in the middle of the job; look at what came out, then "
            "print again: no label counts as printed",
            printer=name,
        ),
        LOST,
    )
