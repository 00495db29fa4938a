"""Results and limits for tests: plain makers with sensible defaults, and Hypothesis generators built on them."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from hypothesis import strategies as st

from pipeline.errors import ConversionError
from pipeline.plant.tables import GroupMember, Limit, LimitStatus
from pipeline.screening.model import HeldCell, ScreeningResult
from pipeline.vocabulary import Purpose, ValueKind

POINT = "clearwell outlet"
MASS_PER_VOLUME = {"mg/L": Fraction(1), "ug/L": Fraction(1, 1000), "ng/L": Fraction(1, 1_000_000)}


def convert_mass(
    value: Fraction, *, analyte: str, from_unit: str, from_basis: str, to_unit: str, to_basis: str
) -> Fraction:
    """A converter of three mass units, enough for tests that are not about units."""
    if from_basis != to_basis:
        raise ConversionError(f"{analyte}: basis '{from_basis}' is not '{to_basis}'.")
    if from_unit == to_unit:
        return Fraction(value)
    if from_unit not in MASS_PER_VOLUME or to_unit not in MASS_PER_VOLUME:
        raise ConversionError(f"{from_unit} cannot be brought to {to_unit}.")
    return value * MASS_PER_VOLUME[from_unit] / MASS_PER_VOLUME[to_unit]


def result(
    written: str,
    collected_on: date,
    *,
    analyte: str = "Arsenic",
    unit: str = "mg/L",
    basis: str = "",
    sample: str = "",
    purpose: Purpose = Purpose.COMPLIANCE,
    confirmation_of: str = "",
    fraction: str = "",
    detection_limit: str | None = None,
    unusable_because: str = "",
    reported_on: date | None = None,
    rejection_reference: str = "",
    result_id: int = 0,
) -> ScreeningResult:
    """A result from the text a laboratory writes: ``0.5``, ``<0.5``, ``>200``."""
    signs = {"<": ValueKind.BELOW, ">": ValueKind.ABOVE}
    number = written.lstrip("<>")
    return ScreeningResult(
        result_id=result_id,
        sample_point=POINT,
        analyte=analyte,
        fraction=fraction,
        basis=basis,
        sample=sample or f"S{collected_on.isoformat()}",
        purpose=purpose,
        confirmation_of=confirmation_of,
        collected_on=collected_on,
        collected_at=None,
        kind=signs.get(written[0], ValueKind.NUMBER),
        value=Decimal(number),
        value_text=written,
        unit=unit,
        detection_limit=None if detection_limit is None else Decimal(detection_limit),
        reporting_limit=None,
        laboratory="Tarnwick Water Laboratory",
        method="",
        unusable_because=unusable_because,
        file="results.csv",
        line=result_id + 2,
        column="value",
        reported_on=reported_on,
        rejection_reference=rejection_reference,
    )


def held_cell(analyte: str = "Arsenic", sample_point: str = POINT, collected_on: date | None = None) -> HeldCell:
    """A held cell."""
    return HeldCell(analyte, sample_point, collected_on, "unit is not known", "results.csv", 7, "value")


def limit(
    value: str = "0.010",
    *,
    analyte: str = "Arsenic",
    statistic: str = "running annual average of quarter means",
    parameters: str = "early=yes;missing=mean of results collected",
    step: str | None = "0.001",
    nondetect_rule: str = "zero",
    members: Sequence[tuple[str, str]] = (),
    **changes: object,
) -> Limit:
    """A primary limit at the finished water entry point; any column may be changed."""
    columns: dict[str, object] = {
        "limit_id": "test-limit",
        "jurisdiction": "United States",
        "status": LimitStatus.IN_FORCE,
        "kind": "primary",
        "analyte": analyte,
        "group_members": tuple(GroupMember(analyte=name, factor=Fraction(factor)) for name, factor in members),
        "value": Decimal(value),
        "unit": "mg/L",
        "statistic": statistic,
        "statistic_parameters": dict(pair.split("=") for pair in parameters.split(";") if pair),
        "step": None if step is None else Decimal(step),
        "nondetect_rule": nondetect_rule,
        "applies_at": "finished water entry point",
    }
    return Limit(**{**columns, **changes})


def amounts(largest: int = 40) -> st.SearchStrategy[str]:
    """Numbers and non-detects in thousandths of mg/L, on both sides of a limit of 0.010."""
    numbers = st.integers(0, largest).map(lambda thousandths: f"{Decimal(thousandths) / 1000:f}")
    nondetects = st.integers(1, largest).map(lambda thousandths: f"<{Decimal(thousandths) / 1000:f}")
    return st.one_of(numbers, numbers, nondetects)


def dates(first: date = date(2023, 1, 1), last: date = date(2025, 12, 31)) -> st.SearchStrategy[date]:
    """Dates over three years, so that quarters are missing, alone or crowded."""
    return st.dates(first, last)


@st.composite
def series(draw: st.DrawFn, max_size: int = 14) -> list[ScreeningResult]:
    """Arsenic results over three years: non-detects, missing quarters, several in a quarter."""
    drawn = draw(st.lists(st.tuples(amounts(), dates()), max_size=max_size))
    return [
        result(written, collected_on, sample=f"S{number}", result_id=number)
        for number, (written, collected_on) in enumerate(drawn)
    ]
