"""A small IPP client: the operations of RFC 8011 that printing labels takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count

from lidclock.domain.sentences import sentence
from lidclock.errors import PrinterError
from lidclock.gateways import ipp_message as ipp
from lidclock.gateways.facts import (
    JOB_FACTS,
    PRINTER_FACTS,
    PrinterFacts,
    facts_of,
    news_of,
    plain_text,
)
from lidclock.gateways.ipp_message import Attribute, Group, Message
from lidclock.gateways.job import JobNews
from lidclock.gateways.transport import Line

# Operations: RFC 8011, section 5.4.15.
PRINT_JOB, VALIDATE_JOB, CANCEL_JOB = 0x0002, 0x0004, 0x0008
GET_JOB, GET_PRINTER = 0x0009, 0x000B
# Status codes: RFC 8011, appendix B.
_LAST_OK = 0x00FF
_NOT_ALLOWED = (0x0401, 0x0402, 0x0403)
NOT_FOUND, _GONE = 0x0406, 0x0407
FORMAT_REFUSED, VALUES_REFUSED = 0x040A, 0x040B
_NOT_SUPPORTED, _WRONG_VERSION, _NOT_ACCEPTING = 0x0501, 0x0503, 0x0506
_BUSY = (0x0502, 0x0505, 0x0507)  # unavailable for a while, temporary error, busy
_numbers = count(1)


@dataclass(frozen=True, slots=True)
class Refusal:
    """An answer that is not yes: its status, its words, the attributes it names."""

    status: int
    message: str
    unsupported: tuple[str, ...] = ()

    @property
    def is_busy(self) -> bool:
        """Whether asking again later may help."""
        return self.status in _BUSY

    def names(self, word: str) -> bool:
        """Whether an attribute beginning with `word` is refused."""
        return any(name.startswith(word) for name in self.unsupported)


@dataclass(slots=True)
class IppPrinter:
    """One printer at the end of a line."""

    line: Line
    send_s: float = 300.0
    version: tuple[int, int] = ipp.VERSION

    @property
    def name(self) -> str:
        """What the kitchen calls it."""
        return self.line.name

    def facts(self) -> PrinterFacts:
        """Get-Printer-Attributes."""
        answer = self._ask(GET_PRINTER, [keywords(PRINTER_FACTS)])
        return facts_of(self._yes(answer))

    def validate(
        self, operation: Sequence[Attribute], job: Sequence[Attribute]
    ) -> Refusal | None:
        """Validate-Job: why the printer would not take such a job, None if it would."""
        answer = self._ask(VALIDATE_JOB, operation, job)
        return None if answer.code == _NOT_SUPPORTED else refusal_in(answer)

    def submit(
        self, document: bytes, operation: Sequence[Attribute], job: Sequence[Attribute]
    ) -> int | Refusal:
        """Print-Job: the number of the job, or why there is none."""
        answer = self._ask(PRINT_JOB, operation, job, document)
        refusal = refusal_in(answer)
        number = answer.first(ipp.JOB, "job-id")
        if refusal is None and not isinstance(number, int):
            raise self.line.not_ipp("it takes a job and gives it no number")
        if refusal is not None and isinstance(number, int):
            # It took the job and changed it: that is not what was asked for.
            self.cancel(number)
        return number if refusal is None else refusal

    def job(self, number: int) -> JobNews:
        """Get-Job-Attributes."""
        wanted = [_number("job-id", number), keywords(JOB_FACTS)]
        return news_of(self._yes(self._ask(GET_JOB, wanted)))

    def cancel(self, number: int) -> bool:
        """Cancel-Job: whether the printer agreed."""
        return self._ask(CANCEL_JOB, [_number("job-id", number)]).code <= _LAST_OK

    def trouble(self, refusal: Refusal) -> PrinterError:
        """A refusal that asking otherwise cannot mend, as an error to show."""
        if refusal.status in (NOT_FOUND, _GONE):
            return self.line.wrong_path()
        if refusal.status in _NOT_ALLOWED:
            what, reason = sentence("does not let this computer print"), "not-allowed"
        elif refusal.status == _NOT_ACCEPTING:
            what, reason = sentence("takes no jobs at present"), "not-accepting"
        else:
            what, reason = sentence("refuses"), "refused"
        says = sentence(
            "{printer} {what}: {said}; see the printer",
            printer=self.name,
            what=what,
            said=refusal.message or f"status {refusal.status:#06x}",
        )
        return PrinterError(says, reason)

    def _yes(self, answer: Message) -> Message:
        if answer.code > _LAST_OK:
            raise self.trouble(_refusal(answer))
        return answer

    def _ask(
        self,
        operation: int,
        more: Sequence[Attribute] = (),
        job: Sequence[Attribute] = (),
        document: bytes = b"",
    ) -> Message:
        """Ask in our version of IPP, then in 1.1 if the printer knows no later one."""
        groups = [Group(ipp.OPERATION, (*self._opening(), *more))]
        if job:
            groups.append(Group(ipp.JOB, tuple(job)))
        wait_s = self.send_s if document else None
        while True:
            message = Message(
                operation, next(_numbers), tuple(groups), self.version, document
            )
            answer = self.line.ask(message, wait_s)
            if answer.code != _WRONG_VERSION or self.version == (1, 1):
                return answer
            self.version = (1, 1)

    def _opening(self) -> tuple[Attribute, ...]:
        """What every request begins with, in this order: RFC 8011, section 4.1.4."""
        return (
            Attribute("attributes-charset", ipp.CHARSET, ("utf-8",)),
            Attribute("attributes-natural-language", ipp.NATURAL_LANGUAGE, ("en",)),
            Attribute("printer-uri", ipp.URI, (self.line.address.uri,)),
        )


def refusal_in(answer: Message) -> Refusal | None:
    """Why the answer is not a whole yes; None where it is.

    A printer may say yes and name what it will not do: that is a no wherever it decides
    where the ink lands.
    """
    refusal = _refusal(answer)
    matters = ("media", "print-scaling", "sides")
    if answer.code > _LAST_OK or any(map(refusal.names, matters)):
        return refusal
    return None


def _refusal(answer: Message) -> Refusal:
    said = answer.first(ipp.OPERATION, "status-message", "")
    named = tuple(one.name for one in answer.attributes(ipp.UNSUPPORTED))
    return Refusal(answer.code, plain_text(said).rstrip("."), named)


def keyword(name: str, value: str) -> Attribute:
    """An attribute of one keyword."""
    return Attribute(name, ipp.KEYWORD, (value,))


def keywords(values: Sequence[str]) -> Attribute:
    """Which attributes are asked for."""
    return Attribute("requested-attributes", ipp.KEYWORD, tuple(values))


def _number(name: str, value: int) -> Attribute:
    return Attribute(name, ipp.INTEGER, (value,))
