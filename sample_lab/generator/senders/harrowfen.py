"""Harrowfen Microbiology: organisms, in one workbook a year with a sheet a quarter.

Group headings are merged over their columns, units stand below the headings, times are serial numbers in date format,
and a number is sometimes text, because somebody typed it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from itertools import groupby

from sample_lab.generator.days import waters_on
from sample_lab.generator.noise import Noise
from sample_lab.generator.points import Point
from sample_lab.generator.rows import Mark
from sample_lab.generator.senders.bench import tests
from sample_lab.generator.senders.rounds import bottle, monthly_days
from sample_lab.generator.senders.sent import Planted, SentFile
from sample_lab.generator.senders.workbook import Sheet, Value, workbook

LABORATORY = "Harrowfen Microbiology"
HEADS = ("Ref", "Sample", "Site", "Taken", "Delivered", "Set up", "Reported", "Version")
# Beside each count of protozoa stand when its filter was washed off and when the slide was read.
BESIDE = {"Protozoa": ("Eluted", "Read")}
WRITTEN_POINTS = {
    Point.INFLUENT: "Inlet", Point.OZONE_EFFLUENT: "Ozone out", Point.BIOLOGICAL_CARBON_EFFLUENT: "BAC out",
    Point.MEMBRANE_RACK_1: "UF rack 1", Point.MEMBRANE_RACK_2: "UF rack 2", Point.MEMBRANE_RACK_3: "UF rack 3",
    Point.MEMBRANE_FILTRATE: "UF combined", Point.FINISHED_WATER: "Product water",
}  # fmt: skip
_TYPED_BY_HAND = 7
# Rack 3 was drained for repair when the sampler came, twice.
NOT_SAMPLED = frozenset((date.fromisoformat(day), Point.MEMBRANE_RACK_3) for day in ("2026-09-08", "2026-10-13"))
# The last month's samples were still at the laboratory when the record ends.
LAST_REPORTED = date.fromisoformat("2026-09-30")


@dataclass(slots=True)
class Line:
    """One sample on one sheet: the cells before the values, the value of each heading, and the times beside it."""

    heads: list[Value]
    values: dict[str, Value]
    beside: dict[str, list[Value]]
    point: Point
    marks: list[tuple[str, Mark]] = field(default_factory=list)


Month = list[Line]


def faultless_months(seed: int) -> dict[date, Month]:
    """The sheet of every month as it should have been, by the day on which the samples were taken."""
    noise = Noise(seed)
    return {
        day: [
            _line(seed, noise, day, number)
            for number, point in enumerate(WRITTEN_POINTS)
            if (day, point) not in NOT_SAMPLED
        ]
        for day in monthly_days()
        if day <= LAST_REPORTED
    }


def _line(seed: int, noise: Noise, day: date, number: int) -> Line:
    point = list(WRITTEN_POINTS)[number]
    taken = bottle(noise, day, point)
    set_up = taken.received + timedelta(minutes=50 + 9 * number)
    heads: list[Value] = [
        f"HM{day:%y%m}{number + 1:02d}", taken.sample, WRITTEN_POINTS[point], taken.collected, taken.received, set_up,
        day + timedelta(days=9), 1,
    ]  # fmt: skip
    # Protozoa are caught on a filter and washed off on the next day.
    eluted = datetime.combine(day + timedelta(days=1), datetime.min.time()) + timedelta(hours=14, minutes=10 * number)
    beside: dict[str, list[Value]] = {
        test.written: [eluted, eluted + timedelta(hours=22)] for test in tests("harrowfen") if test.block in BESIDE
    }
    water = waters_on(seed, day)[point]
    values: dict[str, Value] = {}
    for test in tests("harrowfen"):
        text = test.measured(noise, taken.sample, day, water[test.analyte])
        typed = int(noise.between(0, _TYPED_BY_HAND, "typed", taken.sample, test.analyte)) == 0
        values[test.written] = text if typed or text.startswith("<") else float(text)
    return Line(heads, values, beside, point)


def sheet_of(days: Sequence[date], lines: Sequence[Line], copied: str = "") -> Sheet:
    """The sheet of a quarter, or of a month where that is all there is; ``copied`` is what its name ends with then."""
    months = " to ".join(dict.fromkeys(f"{day:%b %Y}" for day in (days[0], days[-1])))
    listed = tests("harrowfen")
    groups, column = [(0, len(HEADS) - 1, "Sample")], len(HEADS)
    headings, units = list(HEADS), [""] * len(HEADS)
    for block, chosen in groupby(listed, key=lambda test: test.block):
        for test in chosen:
            headings += [test.written, *BESIDE.get(block, ())]
            units += [test.unit, *[""] * len(BESIDE.get(block, ()))]
        groups.append((column, len(headings) - 1, block))
        column = len(headings)
    return Sheet(
        name=f"{months}{copied}",
        titles=(f"{LABORATORY}: organisms, Quillmere, {months}", "< none found in the volume examined"),
        groups=groups, headings=headings, units=units,
        rows=[[*line.heads, *_values(line)] for line in lines],
        widths=(10, 14, 14, 16, 16, 16, 11, 8),
    )  # fmt: skip


def _values(line: Line) -> list[Value]:
    return [cell for organism, value in line.values.items() for cell in (value, *line.beside.get(organism, ()))]


COVER = Sheet(
    name="Read me", titles=("Harrowfen Microbiology, results by quarter", "Methods: see the agreement of 2023"),
    groups=(), headings=("Method", "Organism"), units=(),
    rows=[[test.method, test.analyte] for test in tests("harrowfen")],
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class SheetFault:
    """A change of one sample's row on one sheet: of the values of ``organisms`` (all where empty), of a head, or of
    the times beside the values.
    """

    day: date
    point: Point
    mark: Mark
    organisms: tuple[str, ...] = ()
    value: Value = None
    head: str = ""
    other: Callable[[Value], Value] = lambda written: written
    beside: Callable[[Value], Value] = lambda written: written


def _hours_later(hours: float) -> Callable[[Value], Value]:
    return lambda written: written + timedelta(hours=hours) if isinstance(written, datetime) else written


FAULTS = (
    SheetFault(
        date(2024, 3, 12), Point.BIOLOGICAL_CARBON_EFFLUENT,
        Mark("error of a formula", "HPC", "held", "value_not_readable", "A formula found nothing to divide by."),
        organisms=("HPC",), value="#DIV/0!",
    ),
    SheetFault(
        date(2024, 9, 10), Point.INFLUENT,
        Mark("thousands separated by a comma", "Somatic coliphage", "held", "value_not_readable",
             "6,400 typed as text: six point four, or six thousand?"),
        organisms=("Somatic coliphage",), value="6,400",
    ),
    SheetFault(
        date(2024, 11, 12), Point.INFLUENT,
        Mark("too many to count", "HPC", "accepted", "", "TNTC is an answer for a plate."),
        organisms=("HPC",), value="TNTC",
    ),
    SheetFault(
        date(2025, 5, 13), Point.MEMBRANE_RACK_3,
        Mark("unknown site on a sheet", "Site", "held", "sample_point_not_known", "There are three racks."),
        head="Site", other=lambda _: "UF rack 4",
    ),
    SheetFault(
        date(2025, 8, 12), Point.OZONE_EFFLUENT,
        Mark("late plates", "Set up", "flagged", "analyzed_late",
             "Set up after 12 hours; heterotrophic bacteria and enterococci keep for 8."),
        organisms=("HPC", "Enterococci"), head="Set up", other=_hours_later(9.5),
    ),
    SheetFault(
        date(2026, 2, 10), Point.MEMBRANE_FILTRATE,
        Mark("date typed as text", "Taken", "held", "collected_time_not_readable",
             "10/2/26 as text beside true dates: the tenth of February, or the second of October?"),
        head="Taken", other=lambda _: "10/2/26 8.51",
    ),
    SheetFault(
        date(2026, 4, 14), Point.FINISHED_WATER,
        Mark("late elution", "Eluted", "flagged", "eluted_late", "Washed off after 5 days; 96 hours are allowed."),
        organisms=("Cryptosporidium", "Giardia"), beside=_hours_later(96),
    ),
)  # fmt: skip
COPIED_SHEET = Mark("sheet copied in a workbook", "Ref", "duplicate", "", "A month stands there twice.")
NEXT_VERSION = Mark(
    "workbook sent again with a corrected month", "C. perfringens", "revision", "",
    "Version 2 of one sheet; the other sheets are as before.",
)  # fmt: skip
SAME_AGAIN = Mark(
    "workbook sent again, unchanged", "Version", "revision", "",
    "A higher version takes the place of a lower one, equal values too.",
)  # fmt: skip
_COPIED = date(2025, 3, 11)
_CORRECTED = date(2026, 6, 9)


def files(seed: int) -> list[SentFile]:
    """Every workbook in the order of arrival."""
    months = faultless_months(seed)
    for fault in FAULTS:
        _plant(fault, next(line for line in months[fault.day] if line.point == fault.point))
    right = months[_CORRECTED][0].values["C. perfringens"]
    months[_CORRECTED][0].values["C. perfringens"] = 310.0
    sent = [
        _file(f"harrowfen_{year}.xlsx", [day for day in months if _year(day) == year], months, f"{year}-10-{day}")
        for year, day in ((2024, 28), (2025, 27), (2026, 22))
    ]
    corrected = months[_CORRECTED]
    for line in corrected:
        line.heads[-1] = 2
        line.heads[-2] = date(2026, 10, 25)
    corrected[0].values["C. perfringens"] = right
    for line in corrected:
        line.marks = [(organism, SAME_AGAIN) for organism in line.values]
    corrected[0].marks[list(corrected[0].values).index("C. perfringens")] = ("C. perfringens", NEXT_VERSION)
    return [*sent, _file("harrowfen_2026-06_version_2.xlsx", [_CORRECTED], months, "2026-10-26")]


def _year(day: date) -> int:
    """The year of the record in which a day lies: it begins in November."""
    return day.year + (day.month >= 11)


def _plant(fault: SheetFault, line: Line) -> None:
    organisms = fault.organisms or tuple(line.values)
    if fault.head:
        place = HEADS.index(fault.head)
        line.heads[place] = fault.other(line.heads[place])
    for organism in organisms:
        if fault.value is not None:
            line.values[organism] = fault.value
        line.beside[organism] = [fault.beside(written) for written in line.beside.get(organism, [])]
        line.marks.append((organism, fault.mark))


def _file(name: str, days: Sequence[date], months: dict[date, Month], arrived: str) -> SentFile:
    sheets, planted = [COVER], []
    for _, of_quarter in groupby(days, key=_quarter):
        quarter = list(of_quarter)
        lines = [line for day in quarter for line in months[day]]
        sheets.append(sheet_of(quarter, lines))
        planted += _planted(sheets[-1], lines, [line.marks for line in lines])
        if _COPIED in quarter:
            lines = months[_COPIED]
            sheets.append(sheet_of([_COPIED], lines, " (2)"))
            planted += _planted(sheets[-1], lines, [[(name, COPIED_SHEET) for name in line.values] for line in lines])
    return SentFile(name, workbook(sheets), arrived, tuple(planted))


def _quarter(day: date) -> tuple[int, int]:
    """The quarter of the record in which a day lies: the first begins in November."""
    return _year(day), (day.month - 11) % 12 // 3


def _planted(sheet: Sheet, lines: Month, marks: Sequence[Sequence[tuple[str, Mark]]]) -> list[Planted]:
    analytes = {test.written: test.analyte for test in tests("harrowfen")}
    return [
        Planted(sheet.first_row + number, heading, analytes[heading], mark, sheet.name, str(line.heads[0]))
        for number, (line, of_line) in enumerate(zip(lines, marks, strict=True))
        for heading, mark in of_line
    ]
