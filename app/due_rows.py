"""What is due as a person reads it, in a terminal and on a page: alike things gathered, the most urgent first."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from app import figures
from pipeline.due.model import Due, DueState

MOST_NAMED: Final = 2
WEEK: Final = timedelta(days=7)

DONE: Final = frozenset({DueState.REPORTED})
NEEDS_A_PERSON: Final = frozenset({DueState.CONFIRM, DueState.RESAMPLE, DueState.OVERDUE, DueState.LATE})
"""States about which somebody has to do something; held cells are counted by themselves."""

_ORDER: Final = {state: place for place, state in enumerate(DueState)}


@dataclass(frozen=True, slots=True)
class DueRow:
    """Analytes that stand alike: the same point, period, sample and state."""

    state: DueState
    sample_point: str
    analytes: tuple[str, ...]
    frequency: str
    plan: str
    laboratory: str
    sample: str
    collected_on: date | None
    received_on: date | None
    due_by: date | None
    since: date | None
    reason: str
    file: str
    line: int | None

    def named(self, most: int = MOST_NAMED) -> str:
        """The analytes by name, as far as they fit; a sample of which nothing else is known is meant whole."""
        if not self.analytes:
            return "all that was asked for"
        if len(self.analytes) <= most + 1:
            return ", ".join(self.analytes)
        return f"{', '.join(self.analytes[:most])} and {len(self.analytes) - most} more"

    def when(self, day: Callable[[date], str] = date.isoformat) -> str:
        """When it is due, or since when it is overdue or late; ``day`` writes a date."""
        if self.state in (DueState.OVERDUE, DueState.LATE, DueState.MISSED) or (self.since and not self.due_by):
            return f"since {day(self.since)}" if self.since else ""
        if self.state is DueState.RESAMPLE and self.since:
            return f"at once, since {day(self.since)}"
        if self.due_by is None:
            return ""
        return f"report by {day(self.due_by)}" if self.sample_is_out else f"by {day(self.due_by)}"

    @property
    def sample_is_out(self) -> bool:
        """Whether the sample is taken and the laboratory's report is what is waited for."""
        return self.state is DueState.AT_LABORATORY


def rows(dues: Iterable[Due]) -> list[DueRow]:
    """Gathered, the most urgent state first, and in each the earliest day."""
    gathered: dict[tuple[object, ...], list[Due]] = {}
    for due in dues:
        gathered.setdefault(_alike(due), []).append(due)
    return sorted(map(_row, gathered.values()), key=_place)


def chosen(
    dues: Iterable[Due], *, point: str = "", laboratory: str = "", state: str = "", done: bool = False
) -> list[Due]:
    """What a person asked for; what is reported only with ``done`` or when that state is asked for."""
    return [
        due
        for due in dues
        if (not point or due.sample_point == point)
        and (not laboratory or due.laboratory == laboratory)
        and (due.state.value == state if state else done or due.state not in DONE)
    ]


def due_this_week(dues: Iterable[Due], on: date) -> list[Due]:
    """What has to be sampled from a day on within seven days."""
    return [due for due in dues if due.state is DueState.NOT_YET and due.due_by and due.due_by < on + WEEK]


def of_state(dues: Iterable[Due], *states: DueState) -> list[Due]:
    """Those in one of some states."""
    return [due for due in dues if due.state in states]


def headline(dues: Sequence[Due], next_due: date | None) -> str:
    """The answer in one sentence: what needs a person, or that nothing does and when the next sample is due."""
    parts = []
    for state, one, many in (
        (DueState.CONFIRM, "confirmation sample is due", "confirmation samples are due"),
        (DueState.RESAMPLE, "re-sample is needed", "re-samples are needed"),
        (DueState.OVERDUE, "sample is overdue", "samples are overdue"),
        (DueState.LATE, "report is late", "reports are late"),
    ):
        number = number_of_samples(of_state(dues, state))
        if number:
            parts.append(f"{figures.count_word(number)} {one if number == 1 else many}")
    if parts:
        return f"{figures.sentence(figures.joined(parts))}."
    return f"Nothing is overdue or late. {next_sample(next_due)}".strip()


def next_sample(next_due: date | None) -> str:
    """When the next sample is due: ``Next sample due Fri 21 Nov.``."""
    return f"Next sample due {next_due:%a} {figures.short_day(next_due)}." if next_due else ""


def number_of_samples(dues: Iterable[Due]) -> int:
    """How many samples are meant: analytes of one point, period and sample are one bottle run."""
    return len({(due.sample_point, due.sample, due.period, due.frequency) for due in dues})


def plan_words(due: Due) -> str:
    """Frequency and status with its dates: ``quarterly, increased since 2026-06-10``; nothing where no plan asks."""
    if not due.frequency or due.status == "routine":
        return due.frequency
    since = f" since {due.status_from.isoformat()}" if due.status_from else ""
    until = f" until {due.status_to.isoformat()}" if due.status_to else ""
    return f"{due.frequency}, {due.status}{since}{until}"


def _alike(due: Due) -> tuple[object, ...]:
    return (
        due.state, due.sample_point, due.frequency, plan_words(due), due.laboratory, due.sample, due.due_by,
        due.since, due.reason, due.collected_on,
    )  # fmt: skip


def _row(alike: Sequence[Due]) -> DueRow:
    first = alike[0]
    return DueRow(
        state=first.state,
        sample_point=first.sample_point,
        analytes=tuple(dict.fromkeys(due.analyte for due in alike if due.analyte)),
        frequency=first.frequency,
        plan=plan_words(first),
        laboratory=first.laboratory,
        sample=first.sample,
        collected_on=first.collected_on,
        received_on=first.received_on,
        due_by=first.due_by,
        since=first.since,
        reason=first.reason,
        file=first.file,
        line=first.line,
    )


def _place(row: DueRow) -> tuple[object, ...]:
    # What is missed or reported is history, and reads best newest first.
    day = row.since or row.due_by or row.collected_on or date.max
    history = row.state in (DueState.MISSED, DueState.REPORTED)
    return (
        _ORDER[row.state],
        -day.toordinal() if history else day.toordinal(),
        row.sample_point,
        row.analytes,
        row.sample,
    )
