"""What screening is given, and what it answers: values in, values out."""

from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction

from pipeline.plant.tables import Limit
from pipeline.vocabulary import Comparison, Outcome, ReportStatus, ValueKind


@dataclass(frozen=True, slots=True)
class ScreeningResult:
    """A result in force, as screening sees it: everything as reported, nothing substituted.

    Parameters
    ----------
    sample
        Identity of the sample; members of a group must share it.
    purpose
        One of :class:`pipeline.vocabulary.Purpose`; only compliance samples and confirmations count.
    confirmation_of
        Our sample id of the first sample that this one confirms; empty otherwise.
    collected_on
        Local date of collection in the plant's time zone.
    collected_at
        Instant of collection; ``None`` when only the date is known.
    value
        The number, or the limit of a censored value [``unit``]; ``None`` for kinds without one.
    detection_limit, reporting_limit
        As reported [``unit``]; ``None`` when not reported.
    unusable_because
        Why the result may not be used for compliance (late, rejected...); empty when it may.
    file, line, column
        Where the value stands as delivered.
    reported_on
        Date on which the laboratory told the plant; the time for a confirmation runs from it. ``None`` when not known,
        then it runs from the collection.
    rejection_reference
        The agency's reference that accepts an unusable result as rejected; empty while there is none. Until there is
        one, a result above a limit is not made to disappear by being unusable.
    status
        One of :class:`pipeline.vocabulary.ReportStatus`: a preliminary result gives way to the laboratory's later word.
    reportable
        ``yes`` or ``no`` where the laboratory marks which of its results for a sample it stands for; else empty.
    chosen_because
        Who chose this result among several of the sample, and why; empty where nobody did.
    choice_reference
        The agency's reference that accepts the choice; empty while there is none.
    not_of_record
        Which other result of the sample counts in place of this one, and why; empty where this one may count.
    """

    result_id: int
    sample_point: str
    analyte: str
    fraction: str
    basis: str
    sample: str
    purpose: str
    confirmation_of: str
    collected_on: date
    collected_at: datetime | None
    kind: ValueKind
    value: Decimal | None
    value_text: str
    unit: str
    detection_limit: Decimal | None
    reporting_limit: Decimal | None
    laboratory: str
    method: str
    unusable_because: str
    file: str
    line: int
    column: str
    reported_on: date | None = None
    rejection_reference: str = ""
    status: str = ReportStatus.FINAL
    reportable: str = ""
    chosen_because: str = ""
    choice_reference: str = ""
    not_of_record: str = ""


@dataclass(frozen=True, slots=True)
class HeldCell:
    """A cell that is held and might belong to a limit's period: while it is, ``meets`` may not be said.

    ``sample_point`` or ``analyte`` is empty and ``collected_on`` is ``None`` where the cell could not be read so far.
    """

    analyte: str
    sample_point: str
    collected_on: date | None
    reason: str
    file: str
    line: int
    column: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the arithmetic, in words and numbers, as a person would write it down."""

    what: str
    how: str


@dataclass(frozen=True, slots=True)
class UsedResult:
    """A result in a verdict: the value it counted with, in the limit's unit and basis, and what was substituted."""

    result: ScreeningResult
    counted_low: Fraction | None
    counted_high: Fraction | None
    substitution: str = ""


@dataclass(frozen=True, slots=True)
class ExcludedResult:
    """A result that was looked at and not used, and why."""

    result: ScreeningResult
    because: str


@dataclass(frozen=True, slots=True)
class StatisticPoint:
    """The statistic as it stood at the end of one period, for the step line of a chart [limit's unit]."""

    on: date
    low: Fraction
    high: Fraction


@dataclass(frozen=True, slots=True)
class Verdict:
    """A comparison with one limit at one sample point on one day.

    ``statistic_low`` and ``statistic_high`` are equal unless a non-detect or a missing member leaves two bounds
    [limit's unit, before rounding]; ``compared_low`` and ``compared_high`` are what was compared, rounded once.
    ``share_low`` and ``share_high`` are the statistic before rounding over the limit (1 is the limit; for a limit not
    to be fallen below, the limit over the statistic; for a range, the distance from its middle over half its width).
    All are ``None`` when there is no number; a high end alone is ``None`` when nothing bounds it.

    ``next_may_be`` is the largest next value that keeps the limit [limit's unit], ``next_assumes`` what that takes for
    granted; with an assumption and no number not even zero keeps it, without either nothing can be said.
    """

    limit: Limit
    sample_point: str
    on: date
    outcome: Outcome
    comparison: Comparison
    reason: str
    act_now: bool = False
    since: date | None = None
    statistic_name: str = ""
    statistic_low: Fraction | None = None
    statistic_high: Fraction | None = None
    compared_low: Fraction | None = None
    compared_high: Fraction | None = None
    share_low: Fraction | None = None
    share_high: Fraction | None = None
    window_from: date | None = None
    window_to: date | None = None
    steps: tuple[Step, ...] = ()
    used: tuple[UsedResult, ...] = ()
    excluded: tuple[ExcludedResult, ...] = ()
    held: tuple[HeldCell, ...] = ()
    next_action: str = ""
    next_may_be: Fraction | None = None
    next_assumes: str = ""
    history: tuple[StatisticPoint, ...] = field(default=())
