"""What a statistic is asked, and what it answers before held cells, dates and rejections are looked at."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from pipeline.plant.tables import Limit
from pipeline.screening.model import StatisticPoint, Step
from pipeline.screening.rounding import Compared, LimitNumbers
from pipeline.screening.samples import SampleValue
from pipeline.screening.terms import LimitTerms
from pipeline.vocabulary import Outcome

HISTORY_YEARS = 3


@dataclass(frozen=True, slots=True)
class Question:
    """A limit at a sample point on a day, with the sample values that count.

    Parameters
    ----------
    samples
        Sample values in time order.
    first_on
        Date of the first counting sample ever; ``samples`` may begin later.
    planned
        Frequency in the monitoring plan; ``None`` when it does not say.
    """

    limit: Limit
    numbers: LimitNumbers
    terms: LimitTerms
    sample_point: str
    on: date
    planned: str | None
    near_limit_share: Fraction
    samples: Sequence[SampleValue]
    first_on: date | None


@dataclass(frozen=True, slots=True)
class Assessment:
    """Answer of a statistic: outcome, the numbers compared, and how they came about."""

    outcome: Outcome
    reason: str
    statistic_name: str
    compared: Compared | None = None
    since: date | None = None
    window_from: date | None = None
    window_to: date | None = None
    steps: tuple[Step, ...] = ()
    samples: tuple[SampleValue, ...] = ()
    left_out: tuple[SampleValue, ...] = ()
    next_action: str = ""
    next_may_be: Fraction | None = None
    next_assumes: str = ""
    history: tuple[StatisticPoint, ...] = ()
