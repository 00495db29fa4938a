"""The Tarn Basin Survey, the agency that watches the outfall: nutrients and metals, in the columns of WQX 3.0.

One file a year, as the open standard prints it: every column of the download is there and most are empty, times carry
their zone, a non-detect is an empty value beside a detection condition and a limit of a named kind.
"""

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from functools import cache
from importlib import resources

from sample_lab.generator.days import waters_on
from sample_lab.generator.noise import Noise
from sample_lab.generator.points import Point
from sample_lab.generator.readings.clock import is_summer_time
from sample_lab.generator.rows import Mark
from sample_lab.generator.senders.bench import Test, tests
from sample_lab.generator.senders.rounds import Bottle, bottle, monthly_days
from sample_lab.generator.senders.sent import Planted, SentFile

ORGANIZATION = "TARNBASIN"
LABORATORY = "Tarn Basin Survey"
WRITTEN_POINTS = {
    Point.INFLUENT: "TARNBASIN-Q101", Point.MEMBRANE_FILTRATE: "TARNBASIN-Q104", Point.CONCENTRATE: "TARNBASIN-Q901",
    Point.FINISHED_WATER: "TARNBASIN-Q109",
}  # fmt: skip
# What the standard says beside the name: the fraction, and on which basis.
_FRACTIONS = {"Dissolved organic carbon": "Dissolved", "Orthophosphate": "Dissolved"}
_BASES = {"Phosphorus, total": "as P", "Orthophosphate": "as P", "Total Kjeldahl nitrogen": "as N"}
_NO_FRACTION = frozenset({"Biochemical oxygen demand, 5-day", "Chemical oxygen demand", "Total suspended solids"})
# Hours from collection to the beginning of the analysis.
_WAITS: Mapping[str, tuple[float, float]] = {
    "Biochemical oxygen demand, 5-day": (5, 30), "Orthophosphate": (5, 30), "Total suspended solids": (20, 120),
}  # fmt: skip
_OTHER_WAITS = (60.0, 400.0)
_PRESERVATIVES = {"EPA 200.8": "HNO3 to pH<2", "EPA 351.2": "H2SO4 to pH<2, cool", "EPA 410.4": "H2SO4 to pH<2, cool"}


@dataclass(slots=True)
class Line:
    """One result: the columns that are not empty."""

    texts: dict[str, str]
    analyte: str
    point: Point
    day: date
    marks: list[tuple[str, Mark]] = field(default_factory=list)


@cache
def header() -> tuple[str, ...]:
    """Every column of the standard's download, in its order."""
    content = resources.files("sample_lab").joinpath("examples", "wqx_3_0.csv").read_text("utf-8")
    return tuple(next(csv.reader(content.splitlines())))


def faultless_lines(seed: int) -> Iterator[Line]:
    """Every result in time order."""
    noise = Noise(seed)
    for day in monthly_days():
        for point in WRITTEN_POINTS:
            taken = bottle(noise, day, point)
            water = waters_on(seed, day)[point]
            for number, test in enumerate(tests("tarn_basin"), 1):
                yield Line(_texts(noise, test, taken, number, water[test.analyte]), test.analyte, point, day)


def _texts(noise: Noise, test: Test, taken: Bottle, number: int, level: float) -> dict[str, str]:
    day = taken.collected.date()
    waited = noise.minutes(*_WAITS.get(test.analyte, _OTHER_WAITS), "tarn", test.method, test.analyte, day)
    analyzed = taken.collected + timedelta(minutes=max(waited, 240))
    context, _, method = test.method.partition(" ")
    texts = {
        "Org_Identifier": ORGANIZATION, "Org_FormalName": LABORATORY, "Project_Identifier": "OUTFALL",
        "Location_Identifier": WRITTEN_POINTS[taken.point], "Location_Type": "Facility Other",
        "Activity_ActivityIdentifier": taken.sample, "Activity_TypeCode": "Sample-Routine", "Activity_Media": "Water",
        "Activity_StartDate": f"{taken.collected:%Y-%m-%d}", "Activity_StartTime": f"{taken.collected:%H:%M}:00",
        "Activity_StartTimeZone": _zone(taken.collected), "Result_Characteristic": test.written,
        "Result_MethodSpeciation": _BASES.get(test.analyte, ""), "Result_SampleFraction": _fraction(test.analyte),
        "Result_MeasureIdentifier": f"TBS-{day:%y%m}{list(WRITTEN_POINTS).index(taken.point)}{number:02d}",
        "Result_MeasureStatusIdentifier": "Accepted", "Result_MeasureType": "Actual",
        "ResultAnalyticalMethod_Identifier": method, "ResultAnalyticalMethod_IdentifierContext": context,
        "LabInfo_Name": LABORATORY, "LabInfo_AnalysisStartDate": f"{analyzed:%Y-%m-%d}",
        "LabInfo_AnalysisStartTime": f"{analyzed:%H:%M}:00", "LabInfo_AnalysisStartTimeZone": _zone(analyzed),
        "SamplePrepMethod_ChemicalPreservativeUsed": _PRESERVATIVES.get(test.method, "cool"),
        "ProviderName": ORGANIZATION,
    }  # fmt: skip
    return texts | _measure(test.measured(noise, taken.sample, day, level), test, day)


def _measure(text: str, test: Test, day: date) -> dict[str, str]:
    limit = {
        "DetectionLimit_TypeA": "Laboratory Reporting Level", "DetectionLimit_MeasureA": test.limit_on(day),
        "DetectionLimit_MeasureUnitA": test.unit,
    }  # fmt: skip
    if text.startswith("<"):
        return limit | {"Result_ResultDetectionCondition": "Below Reporting Limit", "Result_MeasureUnit": test.unit}
    return limit | {"Result_Measure": text, "Result_MeasureUnit": test.unit}


def _fraction(analyte: str) -> str:
    return "" if analyte in _NO_FRACTION else _FRACTIONS.get(analyte, "Total")


def _zone(moment: datetime) -> str:
    return "PDT" if is_summer_time(moment) else "PST"


@dataclass(frozen=True, slots=True)
class RowFault:
    """A change of columns of one result."""

    day: date
    point: Point
    analyte: str
    mark: Mark
    changes: Mapping[str, str]


FAULTS = (
    RowFault(
        date(2024, 2, 13), Point.INFLUENT, "Orthophosphate",
        Mark("phosphate without a basis in WQX", "Result_MethodSpeciation", "held", "basis_missing",
             "As P or as PO4 is a factor of three."),
        {"Result_MethodSpeciation": ""},
    ),
    RowFault(
        date(2024, 6, 11), Point.CONCENTRATE, "Nickel",
        Mark("a number beside a condition that denies it", "Result_Measure", "held", "value_not_readable",
             "Not detected, and 31.2: the sender has to say which one counts."),
        {"Result_ResultDetectionCondition": "Not Detected", "Result_Measure": "31.2"},
    ),
    RowFault(
        date(2024, 8, 13), Point.MEMBRANE_FILTRATE, "Zinc",
        Mark("detection condition outside the standard", "Result_ResultDetectionCondition", "held",
             "value_not_readable", "The list of the standard has no such word."),
        {"Result_ResultDetectionCondition": "Below background", "Result_Measure": ""},
    ),
    RowFault(
        date(2025, 1, 14), Point.FINISHED_WATER, "Strontium",
        Mark("no unit in WQX", "Result_MeasureUnit", "held", "unit_not_known", "18 of what?"),
        {"Result_MeasureUnit": ""},
    ),
    RowFault(
        date(2025, 4, 8), Point.INFLUENT, "Biochemical oxygen demand, 5-day",
        Mark("late incubation in WQX", "LabInfo_AnalysisStartDate", "flagged", "analyzed_late",
             "Started after 75 hours; 48 are allowed (40 CFR 136.3 Table II)."),
        {"LabInfo_AnalysisStartDate": "2025-04-11", "LabInfo_AnalysisStartTime": "11:10:00"},
    ),
    RowFault(
        date(2025, 9, 9), Point.CONCENTRATE, "Molybdenum",
        Mark("rejected in WQX", "Result_MeasureStatusIdentifier", "flagged", "result_rejected",
             "The agency's own review threw it out."),
        {"Result_MeasureStatusIdentifier": "Rejected"},
    ),
    RowFault(
        date(2026, 3, 10), Point.INFLUENT, "Vanadium",
        Mark("preliminary in WQX", "Result_MeasureStatusIdentifier", "note", "result_preliminary",
             "Provisional until the year's review."),
        {"Result_MeasureStatusIdentifier": "Provisional"},
    ),
)  # fmt: skip
SENT_TWICE = Mark("results sent again with the next year's", "Result_Measure", "duplicate", "",
                  "The last month of a year stands at the head of the next year's download too.")  # fmt: skip


def files(seed: int) -> list[SentFile]:
    """The agency's download of each year; the last month of one comes again with the next."""
    lines = list(faultless_lines(seed))
    for fault in FAULTS:
        line = next(
            line for line in lines if (line.day, line.point, line.analyte) == (fault.day, fault.point, fault.analyte)
        )
        line.texts.update(fault.changes)
        line.marks.append((fault.mark.column, fault.mark))
    sent = []
    for year in (2024, 2025, 2026):
        of_year = [line for line in lines if _year(line.day) == year]
        again = [
            Line(line.texts, line.analyte, line.point, line.day, [("Result_Measure", SENT_TWICE)])
            for line in lines
            if line.day.month == 10 and line.day.year == year - 1 and not line.marks
        ]
        sent.append(_file(f"tarn_basin_{year}.csv", [*again, *_not_water(of_year[0]), *of_year], f"{year}-10-30"))
    return sent


def _year(day: date) -> int:
    """The water year, from October; the record begins in November."""
    return day.year + (day.month >= 11)


def _not_water(first: Line) -> Iterator[Line]:
    """What the download brings along: sediment below the outfall, and a mean of readings."""
    about = {"Result_MeasureIdentifier": first.texts["Result_MeasureIdentifier"].replace("TBS-", "TBS-X")}
    sediment = {**first.texts, **about, "Activity_Media": "Sediment", "Result_MeasureUnit": "mg/kg"}
    yield Line({**sediment, "Location_Identifier": "TARNBASIN-S3"}, first.analyte, first.point, first.day)
    mean = {
        **first.texts,
        "Result_StatisticalBase": "Mean",
        "Result_MeasureIdentifier": about["Result_MeasureIdentifier"] + "M",
    }
    yield Line(mean, first.analyte, first.point, first.day)


def _file(name: str, lines: list[Line], arrived: str) -> SentFile:
    text = io.StringIO()
    writer = csv.DictWriter(text, header(), restval="", lineterminator="\n")
    writer.writeheader()
    planted = []
    for number, line in enumerate(lines, 2):
        writer.writerow(line.texts)
        identifier = line.texts["Result_MeasureIdentifier"]
        planted += [
            Planted(number, "Result_Measure", line.analyte, mark, result_id=identifier) for _, mark in line.marks
        ]
    return SentFile(name, text.getvalue().encode(), arrived, tuple(planted))
