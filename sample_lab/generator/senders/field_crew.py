"""The plant's field crew: pH, temperature and chlorine at the tap, on a sheet each half year since November 2025.

One row a sample and one column a reading, the unit in the heading; the readings are those that went through the first
laboratory's files before. Roles are named, never persons.
"""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from sample_lab.generator.days import waters_on
from sample_lab.generator.laboratory import Laboratory, Order
from sample_lab.generator.noise import Noise
from sample_lab.generator.points import Point
from sample_lab.generator.rows import Mark
from sample_lab.generator.schedule import FIELD_SHEETS_FROM, Visit, visits
from sample_lab.generator.senders.sent import Planted, SentFile
from sample_lab.generator.tables import methods

CREW = "Quillmere field crew"
HEADINGS = {
    "pH": "pH (S.U.)", "Temperature, water": "Temp (deg C)", "Free chlorine": "Chlorine, free (mg/L)",
}  # fmt: skip
HEADS = ("Sample", "Point", "Date", "Time", "By")
_SAMPLER = {1: "sampler, early shift", 4: "sampler, late shift"}
HALVES = {
    "field_2025-11_to_2026-04.csv": ("2025-11", "2026-04"), "field_2026-05_to_2026-10.csv": ("2026-05", "2026-10"),
}  # fmt: skip


@dataclass(slots=True)
class Line:
    """One stop of the round: what stands in front, and the readings."""

    heads: dict[str, str]
    values: dict[str, str]
    day: date
    point: Point
    marks: list[tuple[str, Mark]] = field(default_factory=list)


def faultless_lines(seed: int) -> Iterator[Line]:
    """Every stop with a reading, in time order."""
    noise = Noise(seed)
    crew = Laboratory(noise)
    for visit in visits(noise):
        day = visit.collected.date()
        measured = tuple(name for name in visit.analytes if methods()[name].in_the_field)
        if day < FIELD_SHEETS_FROM or not measured:
            continue
        asked = Visit(visit.sample, visit.point, visit.collected, measured)
        rows = crew.report(asked, waters_on(seed, day)[visit.point], Order("process"), "")
        heads = {
            "Sample": visit.sample, "Point": visit.point.value, "Date": f"{visit.collected:%m/%d/%Y}",
            "Time": f"{visit.collected:%H:%M}", "By": _SAMPLER[day.weekday()],
        }  # fmt: skip
        yield Line(heads, {row.analyte: row.texts["value"] for row in rows}, day, visit.point)


@dataclass(frozen=True, slots=True)
class FieldFault:
    """A reading that was written down wrongly."""

    day: date
    point: Point
    analyte: str
    value: str
    mark: Mark


FAULTS = (
    FieldFault(
        date(2025, 12, 16), Point.INFLUENT, "pH", "71.2",
        Mark("lost decimal point on a field sheet", "pH (S.U.)", "held", "value_not_possible", "pH 71.2 was 7.12."),
    ),
    FieldFault(
        date(2026, 3, 17), Point.FINISHED_WATER, "Temperature, water", "20,4",
        Mark("decimal comma on a field sheet", "Temp (deg C)", "held", "value_not_readable",
             "The sheet writes points; a comma may part thousands."),
    ),
    FieldFault(
        date(2026, 5, 8), Point.FINISHED_WATER, "Free chlorine", "2.4 ?",
        Mark("doubt on a field sheet", "Chlorine, free (mg/L)", "held", "value_not_readable",
             "A question mark behind the number: the crew was not sure."),
    ),
    FieldFault(
        date(2026, 8, 11), Point.PERMEATE_A, "pH", "not analyzed",
        Mark("probe broken on the round", "pH (S.U.)", "accepted", "", "No reading, and the sheet says so."),
    ),
)  # fmt: skip


def files(seed: int) -> list[SentFile]:
    """The sheet of each half year."""
    lines = list(faultless_lines(seed))
    for fault in FAULTS:
        line = next(line for line in lines if (line.day, line.point) == (fault.day, fault.point))
        line.values[fault.analyte] = fault.value
        line.marks.append((fault.analyte, fault.mark))
    return [
        _file(name, [line for line in lines if first <= f"{line.day:%Y-%m}" <= last])
        for name, (first, last) in HALVES.items()
    ]


def _file(name: str, lines: list[Line]) -> SentFile:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["Field sheet", CREW])
    writer.writerow([*HEADS, *HEADINGS.values()])
    planted = []
    for number, line in enumerate(lines, 3):
        writer.writerow([*(line.heads[head] for head in HEADS), *(line.values.get(name, "") for name in HEADINGS)])
        planted += [
            Planted(number, HEADINGS[analyte], analyte, mark, result_id=line.heads["Sample"])
            for analyte, mark in line.marks
        ]
    return SentFile(name, text.getvalue().encode(), f"{lines[-1].day:%Y-%m}-30", tuple(planted))
