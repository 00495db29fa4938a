"""What ``due`` is given, and what it answers: values in, values out."""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from pipeline.due.periods import Period


class DueState(StrEnum):
    """Where a sample that is asked for stands; the order in which a person should read them."""

    CONFIRM = "confirmation sample due"
    RESAMPLE = "re-sample needed"
    OVERDUE = "overdue: not sampled"
    LATE = "late at the laboratory"
    HELD = "held"
    PRELIMINARY = "preliminary only"
    NOT_YET = "not sampled yet"
    AT_LABORATORY = "sampled, at the laboratory"
    MISSED = "missed: no usable sample in its period"
    REPORTED = "reported"


class Standing(StrEnum):
    """What is known of one analyte in one sample; the best comes last."""

    UNUSABLE = "its result cannot be used"
    AWAITED = "no result yet"
    HELD = "its result is held"
    PRELIMINARY = "its result is preliminary"
    USABLE = "reported"

    @property
    def rank(self) -> int:
        """Place in the order from worst to best."""
        return list(Standing).index(self)


@dataclass(frozen=True, slots=True)
class TakenSample:
    """A sample, or the part of one that went to one laboratory, as the sample log has it.

    Parameters
    ----------
    requested
        Analytes that were asked for; empty where the log does not say.
    received_on
        Day on which it reached the laboratory; ``None`` where the log does not say.
    file, line
        Where the log says it; empty and ``None`` for the plant folder's own table.
    """

    sample: str
    sample_point: str
    collected_on: date
    received_on: date | None = None
    laboratory: str = ""
    purpose: str = ""
    requested: tuple[str, ...] = ()
    confirmation_of: str = ""
    repeat_of: str = ""
    file: str = ""
    line: int | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """One analyte of one sample that a laboratory reported, or whose cell is held.

    ``reason`` says why a result cannot be used or a cell is held; empty otherwise.
    """

    sample: str
    sample_point: str
    analyte: str
    collected_on: date
    laboratory: str
    purpose: str
    standing: Standing
    reason: str = ""
    file: str = ""
    line: int | None = None


@dataclass(frozen=True, slots=True)
class Sampling:
    """One analyte of one sample at one point: when it was taken, and what is known of it."""

    sample: str
    collected_on: date
    standing: Standing
    laboratory: str = ""
    received_on: date | None = None
    reason: str = ""
    file: str = ""
    line: int | None = None

    def report_by(self, turnaround_days: int) -> date:
        """The last day on which its report is not late, counted from its receipt, else from its collection."""
        return (self.received_on or self.collected_on) + timedelta(days=turnaround_days)


@dataclass(frozen=True, slots=True)
class Due:
    """One thing that is asked for: an analyte at a point in a period, or a sample that no plan asks for.

    Parameters
    ----------
    due_by
        Last day in time: for sampling, or for the laboratory's report; ``None`` where nothing is asked any more.
    since
        Day since which it is overdue or late.
    frequency, status, status_from, status_to
        What the monitoring plan says; empty where no plan asks for it.
    reason
        More words where the state alone does not say enough.
    """

    state: DueState
    sample_point: str
    analyte: str
    period: Period | None = None
    due_by: date | None = None
    since: date | None = None
    frequency: str = ""
    status: str = ""
    status_from: date | None = None
    status_to: date | None = None
    laboratory: str = ""
    sample: str = ""
    collected_on: date | None = None
    received_on: date | None = None
    reason: str = ""
    file: str = ""
    line: int | None = None
