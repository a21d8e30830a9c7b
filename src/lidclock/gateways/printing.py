"""From a job to a report: send it, watch it to its end, say plainly what happened."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from lidclock.domain.sentences import joined, sentence
from lidclock.errors import PrinterError
from lidclock.gateways.facts import PrinterFacts
from lidclock.gateways.ipp import IppPrinter
from lidclock.gateways.job import (
    LOST,
    NOT_SENT,
    JobNews,
    JobReport,
    Patience,
    PrintJob,
    Tell,
    say_nothing,
)
from lidclock.gateways.media import fitting
from lidclock.gateways.reasons import holding_up, plain, say_remedy, say_state
from lidclock.gateways.sending import Sender, gone

Send = Callable[[PrintJob, PrinterFacts], int]


def print_job(
    printer: IppPrinter,
    job: PrintJob,
    patience: Patience,
    tell: Tell = say_nothing,
    send: Send | None = None,
) -> JobReport:
    """Print `job` and stay with it; whatever goes wrong is in the report.

    `send` hands the job over where that is not done by IPP.
    """

    def by_ipp(job: PrintJob, facts: PrinterFacts) -> int:
        return Sender(printer, job, facts, patience, tell).send()

    try:
        facts = printer.facts()
        _check_ready(printer.name, facts, job)
        number = (send or by_ipp)(lying(job, facts), facts)
    except PrinterError as error:
        return unsent(error)
    watch = _Watch(printer, job, number, patience, tell)
    try:
        return watch.to_the_end()
    except KeyboardInterrupt:
        watch.cancel()
        raise


def lying(job: PrintJob, facts: PrinterFacts) -> PrintJob:
    """The job as its labels lie in the printer, turned if they run the other way.

    What is loaded decides first, then what the printer could take.
    """
    for offers in (facts.loaded, facts.offers):
        if fitting(job.size, offers):
            return job
        if job.turn is not None and fitting(job.size.turned(), offers):
            return job.turned()
    return job


def unsent(error: PrinterError) -> JobReport:
    """The report on a job that no printer took, or that went down with it."""
    state = LOST if error.reason == LOST else NOT_SENT
    return JobReport(state, (error.reason,), error.fact)


def _check_ready(name: str, facts: PrinterFacts, job: PrintJob) -> None:
    """Send nothing to a printer that stands still: it would print some day, unseen."""
    if facts.state == "stopped":
        held = holding_up(facts.reasons)
        what = say_state(facts.reasons) or sentence("is stopped")
        if facts.message and not held:
            what = joined("{what} ({said})", what=what, said=facts.message)
        start = sentence("start it at the printer")
        raise PrinterError(
            sentence(
                "{printer} {what}; {remedy} and print again",
                printer=name,
                what=what,
                remedy=say_remedy(facts.reasons, job.stock) or start,
            ),
            held[0] if held else "stopped",
        )
    if not facts.is_accepting:
        raise PrinterError(
            sentence(
                "{printer} takes no jobs at present; let it take jobs and print again",
                printer=name,
            ),
            "not-accepting",
        )


@dataclass(slots=True)
class _Watch:
    """A job that the printer has taken, watched until it ends or patience does."""

    printer: IppPrinter
    job: PrintJob
    number: int
    patience: Patience
    tell: Tell
    reasons: tuple[str, ...] = ()

    def to_the_end(self) -> JobReport:
        """Poll until the job is final, shows no change too long, or is lost."""
        pause, waited, seen = self.patience.polls(), 0.0, None
        while True:
            news = self._news()
            if news is None:
                return JobReport(
                    LOST, (LOST,), gone(self.printer.name).fact, self.number
                )
            if news.is_final:
                return self._report(news)
            now = (news, self.reasons)
            if now != seen:
                seen, waited = now, 0.0
                self._tell_hindrance()
            limit = self.patience.held_s if self.reasons else self.patience.silent_s
            if waited >= limit:
                return self._give_up(news)
            waited += pause()

    def _news(self) -> JobNews | None:
        """How the job stands; None if the printer was asked often enough in vain."""
        for _ in range(self.patience.lost_polls):
            try:
                news = self.printer.job(self.number)
                if not news.is_final:
                    self.reasons = holding_up(self.printer.facts().reasons)
            except PrinterError:
                self.patience.wait(self.patience.poll_s)
            else:
                return news
        return None

    def _tell_hindrance(self) -> None:
        if self.reasons:
            remedy = say_remedy(self.reasons, self.job.stock)
            self.tell(f"{self.printer.name} {say_state(self.reasons)}: {remedy}")

    def _report(self, news: JobNews) -> JobReport:
        """The report on a job that has ended."""
        report = JobReport(news.state, plain(news.reasons), "", self.number)
        if report.is_printed:
            return report
        return JobReport(
            news.state,
            tuple(dict.fromkeys([*report.reasons, *self.reasons])),
            sentence(
                "{what}; look at what came out, then print again: no label counts as "
                "printed",
                what=self._ending(news),
            ),
            self.number,
        )

    def _ending(self, news: JobNews) -> str:
        """How the job ended, in words, and what stood in its way."""
        name, said = self.printer.name, news.message.rstrip(".")
        if news.state == "canceled":
            what: str = sentence("{printer} cancelled the job", printer=name)
        elif news.state == "aborted":
            what = sentence("{printer} gave the job up", printer=name)
        else:
            what = sentence("{printer} finished the job with errors", printer=name)
        if said:
            what = joined("{what} ({said})", what=what, said=said)
        if self.reasons:
            state = say_state(self.reasons)
            what = sentence("{what}, for it {state}", what=what, state=state)
        return what

    def _give_up(self, news: JobNews) -> JobReport:
        """Waiting has ended: cancel the job, so that it does not print unseen later."""
        is_cancelled = self.cancel()
        last = self._news() if is_cancelled else news
        if last is not None and last.state == "completed":
            return self._report(last)
        said = news.message.rstrip(".") or f"job {news.state}"
        then = (
            sentence("the job was cancelled")
            if is_cancelled
            else sentence("it would not cancel the job, which may still print")
        )
        look = sentence("look after it")
        return JobReport(
            "canceled" if is_cancelled else news.state,
            self.reasons or ("no-progress",),
            sentence(
                "{printer} {what}; {then}; {remedy} and print again",
                printer=self.printer.name,
                what=say_state(self.reasons)
                or sentence("shows no progress ({said})", said=said),
                then=then,
                remedy=say_remedy(self.reasons, self.job.stock) or look,
            ),
            self.number,
        )

    def cancel(self) -> bool:
        """Whether the printer agreed to forget the job."""
        try:
            return self.printer.cancel(self.number)
        except PrinterError:
            return False
