"""The plant's own process laboratory, which kept three years in one workbook: the file that a newcomer has to map.

A sheet a quarter; a title, headings merged over the points, and below them one column for each thing measured at each
point, with its unit in the heading. Dates are serial numbers, a few numbers are text, and no layout knows it yet.
"""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal

from sample_lab.generator.days import waters_on
from sample_lab.generator.laboratory import rounded
from sample_lab.generator.noise import Noise
from sample_lab.generator.points import Point
from sample_lab.generator.schedule import FIRST_DAY, LAST_DAY, collected_at
from sample_lab.generator.senders.workbook import Sheet, Value, workbook

NAME = "process_laboratory.xlsx"
_POINTS = {
    Point.INFLUENT: "Inflow", Point.BIOLOGICAL_CARBON_EFFLUENT: "After carbon", Point.FINISHED_WATER: "Clearwell",
}  # fmt: skip
_TESTS = (
    ("Alkalinity, total", "Alkalinity (mg/L as CaCO3)", 3, 0, 0.02),
    ("Turbidity", "Turbidity (NTU)", 2, 2, 0.08),
    ("Iron", "Iron (ug/L)", 2, 0, 0.06),
    ("Manganese", "Manganese (ug/L)", 2, 0, 0.06),
)  # fmt: skip
_LEAST = {"Iron": Decimal(10), "Manganese": Decimal(5)}
_TYPED_BY_HAND = 11
_QUARTERS_BEGIN = (11, 2, 5, 8)


def content(seed: int) -> bytes:
    """The workbook's bytes."""
    noise = Noise(seed)
    return workbook([_sheet(seed, noise, days) for days in _quarters()])


def _quarters() -> Iterator[list[date]]:
    """The Tuesdays of each quarter of the record."""
    days: list[date] = []
    day = FIRST_DAY
    while day <= LAST_DAY:
        if day.day == 1 and day.month in _QUARTERS_BEGIN and days:
            yield days
            days = []
        if day.weekday() == 1:
            days.append(day)
        day += timedelta(days=1)
    yield days


def _sheet(seed: int, noise: Noise, days: Sequence[date]) -> Sheet:
    width = len(_TESTS)
    return Sheet(
        name=f"{days[0]:%b %y} to {days[-1]:%b %y}",
        titles=("Quillmere process laboratory, bench book", "< less than the least that the bench can tell"),
        groups=[(1 + width * place, width * (place + 1), written) for place, written in enumerate(_POINTS.values())],
        headings=["Sampled", *([heading for _, heading, *_ in _TESTS] * len(_POINTS)), "Remark"],
        units=(),
        rows=[_row(seed, noise, day) for day in days],
        widths=(16,),
    )


def _row(seed: int, noise: Noise, day: date) -> list[Value]:
    row: list[Value] = [collected_at(noise, day, Point.INFLUENT)]
    for point in _POINTS:
        for analyte, _, significant, decimals, spread in _TESTS:
            level = waters_on(seed, day)[point][analyte]
            number = level * (1 + spread * noise.normal("bench", day, point, analyte))
            row.append(_written(noise, rounded(number, significant, decimals), analyte, f"{day} {point}"))
    row.append("" if noise.between(0, 1, "remark", day) > 0.06 else "sample foamed")
    return row


def _written(noise: Noise, value: Decimal, analyte: str, what: str) -> Value:
    least = _LEAST.get(analyte)
    if least is not None and value < least:
        return f"<{least}"
    return str(value) if noise.between(0, _TYPED_BY_HAND, "typed", what, analyte) < 1 else float(value)
