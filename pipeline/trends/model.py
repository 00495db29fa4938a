"""What a series is made of: results as reported, and the unit in which they are looked at."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction

from pipeline.censoring import WITHOUT_NUMBER, WITHOUT_RESULT, nondetect_limit
from pipeline.vocabulary import ValueKind


@dataclass(frozen=True, slots=True)
class Measure:
    """A unit and the basis on which an amount is stated in it; an empty basis is the usual one of the analyte."""

    unit: str
    basis: str = ""

    @property
    def text(self) -> str:
        """Unit and basis as a person writes them: ``mg/L as N``."""
        return f"{self.unit} {self.basis}".strip()


@dataclass(frozen=True, slots=True)
class SeriesResult:
    """A result in force as a series shows it: everything as reported.

    Parameters
    ----------
    value
        The number, or the limit of a censored value [``unit``]; ``None`` for kinds without one.
    detection_limit, reporting_limit
        As reported [``unit``]; ``None`` when not reported.
    reportable
        ``no`` where the laboratory itself stands for another result of the sample; else ``yes`` or empty.
    findings
        What the checks say of it, in words; empty when nothing.
    drawn
        Whether a chart of limited size shows it: a long series shows the lowest and the highest of each stretch.
    """

    result_id: int
    sample_point: str
    fraction: str
    collected_on: date
    collected_at: datetime | None
    kind: ValueKind
    value_text: str
    value: Decimal | None
    unit: str
    basis: str
    detection_limit: Decimal | None
    reporting_limit: Decimal | None
    qualifier: str
    sample: str
    laboratory: str
    method: str
    purpose: str
    status: str
    reportable: str
    findings: str
    file: str
    line: int
    column: str
    drawn: bool = True

    @property
    def measure(self) -> Measure:
        """The unit and basis in which it was reported."""
        return Measure(self.unit, self.basis)

    @property
    def counts(self) -> bool:
        """Whether the laboratory stands for it and it says something about the water."""
        return self.reportable != "no" and self.kind not in WITHOUT_RESULT

    @property
    def non_detect(self) -> bool:
        """Whether it is only known to lie below a limit."""
        return self.kind is ValueKind.BELOW

    @property
    def lowest_provable(self) -> Decimal | None:
        """The limit of a non-detect [``unit``]; ``None`` for other kinds, and where the laboratory gave none."""
        return nondetect_limit(self.value, self.reporting_limit, self.detection_limit) if self.non_detect else None

    @property
    def has_amount(self) -> bool:
        """Whether it has a number that a unit belongs to."""
        return self.kind not in WITHOUT_NUMBER | WITHOUT_RESULT


@dataclass(frozen=True, slots=True)
class Placed:
    """A result and the amounts that it allows, in the unit of the series.

    ``low`` and ``high`` are equal for a measured value; a non-detect runs from zero to its limit; ``high`` is ``None``
    for a value known only to lie above a number, and for a non-detect without any limit.
    """

    result: SeriesResult
    low: Fraction
    high: Fraction | None

    @property
    def detected(self) -> bool:
        """Whether the laboratory gave a number and not a bound."""
        return self.high is not None and self.low == self.high and not self.result.non_detect


@dataclass(frozen=True, slots=True)
class Series:
    """The results of one analyte between two days, in one unit, oldest first.

    Parameters
    ----------
    placed
        Results with an amount in ``measure``.
    others
        Results without one: present or absent, not analyzed, or in a unit that measures something else.
    quality_control
        How many results of blanks, replicates and the like were left out.
    """

    analyte: str
    sample_points: tuple[str, ...]
    fraction: str
    measure: Measure
    first: date | None
    last: date
    placed: tuple[Placed, ...]
    others: tuple[SeriesResult, ...]
    quality_control: int
    fractions: tuple[str, ...] = ()

    @property
    def results(self) -> list[SeriesResult]:
        """Every result, oldest first."""
        everything = [*(one.result for one in self.placed), *self.others]
        return sorted(everything, key=lambda one: (one.collected_on, one.sample_point, one.result_id))

    @property
    def reduced(self) -> bool:
        """Whether a chart leaves results out, so that it must say so."""
        return any(not one.result.drawn for one in self.placed)
