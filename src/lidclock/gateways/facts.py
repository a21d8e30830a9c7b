"""What a printer and a job say of themselves, read from IPP answers."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from lidclock.gateways import ipp_message as ipp
from lidclock.gateways.ipp_message import Attribute, Message, Resolution, Span
from lidclock.gateways.job import JobNews
from lidclock.gateways.media import Offer, Size, offers_of

# RFC 8011, sections 5.3.7 and 5.4.11.
JOB_STATES = {
    3: "pending",
    4: "pending-held",
    5: "processing",
    6: "processing-stopped",
    7: "canceled",
    8: "aborted",
    9: "completed",
}
PRINTER_STATES = {3: "idle", 4: "processing", 5: "stopped"}
_DOTS_PER_INCH = 3  # the unit of a resolution, RFC 8011, section 5.1.16

PRINTER_FACTS = tuple(
    "printer-state printer-state-reasons printer-state-message "
    "printer-is-accepting-jobs document-format-supported media-supported media-ready "
    "media-col-ready media-col-supported media-size-supported print-scaling-supported "
    "sides-supported pwg-raster-document-resolution-supported "
    "printer-resolution-supported".split()
)
JOB_FACTS = tuple(
    "job-state job-state-reasons job-state-message job-printer-state-message "
    "job-impressions-completed job-media-sheets-completed".split()
)


@dataclass(frozen=True, slots=True)
class PrinterFacts:
    """What a printer says of itself.

    `takes_sizes` is whether it can be given a size, not only a name it knows.
    """

    state: str = "unknown"
    reasons: tuple[str, ...] = ()
    message: str = ""
    is_accepting: bool = True
    formats: tuple[str, ...] = ()
    offers: tuple[Offer, ...] = ()
    media_names: tuple[str, ...] = ()
    loaded: tuple[Offer, ...] = ()
    takes_sizes: bool = True
    scalings: tuple[str, ...] = ()
    sides: tuple[str, ...] = ()
    dpis: tuple[int, ...] = ()


def plain_text(said: Any) -> str:
    """A printer's words on one line, without what could steer a terminal."""
    shown = (sign if sign.isprintable() else " " for sign in str(said))
    return " ".join("".join(shown).split())


def facts_of(answer: Message) -> PrinterFacts:
    """The facts in an answer to Get-Printer-Attributes."""

    def every(name: str) -> tuple[Any, ...]:
        return answer.values(ipp.PRINTER, name)

    def words(name: str) -> tuple[str, ...]:
        return tuple(map(plain_text, every(name)))

    names = words("media-supported")
    return PrinterFacts(
        state=PRINTER_STATES.get(answer.first(ipp.PRINTER, "printer-state"), "unknown"),
        reasons=words("printer-state-reasons"),
        message=" ".join(words("printer-state-message")),
        is_accepting=answer.first(ipp.PRINTER, "printer-is-accepting-jobs", True),
        formats=words("document-format-supported"),
        offers=_offers(every("media-size-supported"), names),
        media_names=names,
        loaded=_loaded(every("media-col-ready"), words("media-ready")),
        takes_sizes="media-size" in words("media-col-supported") or not names,
        scalings=words("print-scaling-supported"),
        sides=words("sides-supported"),
        dpis=_dpis(
            every("pwg-raster-document-resolution-supported")
            or every("printer-resolution-supported")
        ),
    )


def _offers(sizes: Iterable[Any], names: tuple[str, ...]) -> tuple[Offer, ...]:
    """The sizes by their figures, or by their names where there are no figures."""
    found = [offer for size in sizes if (offer := _offer(size)) is not None]
    return tuple(dict.fromkeys(found or offers_of(names)))


def _loaded(collections: Iterable[Any], names: tuple[str, ...]) -> tuple[Offer, ...]:
    sizes = [
        ipp.member(one, "media-size") for one in collections if _is_collection(one)
    ]
    offers = [offer for size in sizes if (offer := _offer(size)) is not None]
    return tuple(dict.fromkeys(offers or offers_of(names)))


def _offer(size: Any) -> Offer | None:
    """A media-size, each side of it one figure or a span of figures."""
    if not _is_collection(size):
        return None
    x, y = (_span(ipp.member(size, name)) for name in ("x-dimension", "y-dimension"))
    if x is None or y is None:
        return None
    return Offer(Size(x.low, y.low), Size(x.high, y.high))


def _span(value: Any) -> Span | None:
    if isinstance(value, int):
        return Span(value, value)
    return value if isinstance(value, Span) else None


def _is_collection(value: Any) -> bool:
    return isinstance(value, tuple) and all(isinstance(x, Attribute) for x in value)


def _dpis(values: Iterable[Any]) -> tuple[int, ...]:
    """Resolutions in dots per inch, the same across and along."""
    return tuple(
        one.across
        for one in values
        if isinstance(one, Resolution)
        and one.unit == _DOTS_PER_INCH
        and one.across == one.along
    )


def news_of(answer: Message) -> JobNews:
    """How a job stands, from an answer to Get-Job-Attributes."""

    def first(name: str) -> Any:
        return answer.first(ipp.JOB, name)

    said = first("job-state-message") or first("job-printer-state-message") or ""
    done = (first("job-impressions-completed"), first("job-media-sheets-completed"))
    return JobNews(
        state=JOB_STATES.get(first("job-state"), "unknown"),
        reasons=tuple(map(plain_text, answer.values(ipp.JOB, "job-state-reasons"))),
        message=plain_text(said),
        printed=max((one for one in done if isinstance(one, int)), default=0),
    )
