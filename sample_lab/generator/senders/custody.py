"""Custody sheets: which samples were taken, where, when and by which role, and when each laboratory had them.

One line a sample and laboratory. A line says what is asked for only where that is less than what is planned.
"""

import csv
import io
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from sample_lab.generator.laboratory import LABORATORY as TARNWICK
from sample_lab.generator.noise import Noise
from sample_lab.generator.points import Point
from sample_lab.generator.record import faultless_record
from sample_lab.generator.rows import LabRow, Mark
from sample_lab.generator.schedule import sample_name
from sample_lab.generator.senders import fernholm, harrowfen, tarn_basin
from sample_lab.generator.senders.bench import tests
from sample_lab.generator.senders.rounds import bottle, monthly_days, quarterly_days
from sample_lab.generator.senders.sent import Planted, SentFile

COLUMNS = (
    "Sample ID", "Sample point", "Purpose", "Collected", "Sampled by", "Sent to", "Requested", "Relinquished",
    "Received", "Confirms", "Sheet revision", "Issued", "Remarks",
)  # fmt: skip
YEARS = {
    "custody_2023-11_to_2024-10.csv": ("2023-11", "2024-10"), "custody_2024-11_to_2025-10.csv": ("2024-11", "2025-10"),
    "custody_2025-11_to_2026-10.csv": ("2025-11", "2026-10"),
}  # fmt: skip
_SAMPLERS = {1: "sampler, early shift", 4: "sampler, late shift"}
_MINUTE = timedelta(minutes=1)


@dataclass(slots=True)
class Line:
    """One sample for one laboratory."""

    texts: dict[str, str]
    day: date
    marks: list[Mark] = field(default_factory=list)

    def copy(self, **changes: str) -> "Line":
        """Another line with some columns changed, without marks."""
        return Line({**self.texts, **changes}, self.day)


def faultless_lines(seed: int) -> list[Line]:
    """Every line of the record, in the order of collection."""
    lines = [*_to_the_first_laboratory(seed), *_to_the_others(Noise(seed)), *_still_owed()]
    return sorted(lines, key=lambda line: (line.texts["Collected"], line.texts["Sample ID"], line.texts["Sent to"]))


def _to_the_first_laboratory(seed: int) -> Iterator[Line]:
    samples: dict[str, list[LabRow]] = {}
    for rows in faultless_record(seed).values():
        for row in rows:
            if row.texts["received"]:
                samples.setdefault(row.texts["sample"], []).append(row)
    for sample, rows in samples.items():
        texts = rows[0].texts
        asked = texts["purpose"] in ("confirmation", "special", "quality control")
        yield _line(
            sample, Point(rows[0].point), datetime.fromisoformat(texts["collected"]),
            datetime.fromisoformat(texts["received"]), TARNWICK, texts["purpose"],
            requested="; ".join(row.analyte for row in rows) if asked else "", confirms=texts["confirmation_of"],
        )  # fmt: skip


def _to_the_others(noise: Noise) -> Iterator[Line]:
    for laboratory, table, days in (
        (fernholm.LABORATORY, "fernholm", quarterly_days()),
        (harrowfen.LABORATORY, "harrowfen", list(monthly_days())),
        (tarn_basin.LABORATORY, "tarn_basin", list(monthly_days())),
    ):
        points = dict.fromkeys(point for test in tests(table) for point in test.points)
        for day in days:
            for point in points:
                if (day, point) in harrowfen.NOT_SAMPLED and table == "harrowfen":
                    continue
                taken = bottle(noise, day, point)
                yield _line(taken.sample, point, taken.collected, taken.received, laboratory, _purpose(point))


def _still_owed() -> Iterator[Line]:
    """Samples whose reports had not come when the record ends."""
    for day, suffix, laboratory, asked, received in (
        (date(2026, 9, 15), "-S", fernholm.LABORATORY, "PFBA; PFPeA; PFHxA", timedelta(hours=2)),
        (date(2026, 10, 29), "-S", TARNWICK, "Total organic carbon; UV absorbance at 254 nm", None),
        (date(2026, 10, 30), "-S", TARNWICK, "1,4-Dioxane; N-Nitrosodimethylamine (NDMA)", timedelta(minutes=108)),
    ):
        taken = datetime.combine(day, datetime.min.time()) + timedelta(hours=8, minutes=52)
        sample = sample_name(Point.MEMBRANE_FILTRATE, day, suffix)
        there = taken + received if received else None
        yield _line(sample, Point.MEMBRANE_FILTRATE, taken, there, laboratory, "special", requested=asked)


def _purpose(point: Point) -> str:
    return "compliance" if point == Point.FINISHED_WATER else "process"


def _line(
    sample: str,
    point: Point,
    collected: datetime,
    received: datetime | None,
    laboratory: str,
    purpose: str,
    *,
    requested: str = "",
    confirms: str = "",
) -> Line:
    given = (received or collected + 90 * _MINUTE) - 25 * _MINUTE
    texts = {
        "Sample ID": sample, "Sample point": point.value, "Purpose": purpose.capitalize(),
        "Collected": f"{collected:%Y-%m-%d %H:%M}", "Sampled by": _SAMPLERS.get(collected.weekday(), "duty operator"),
        "Sent to": laboratory, "Requested": requested, "Relinquished": f"{max(given, collected):%Y-%m-%d %H:%M}",
        "Received": f"{received:%Y-%m-%d %H:%M}" if received else "", "Confirms": confirms, "Sheet revision": "1",
        "Issued": f"{collected:%Y-%m-%d}", "Remarks": "",
    }  # fmt: skip
    return Line(texts, collected.date())


@dataclass(frozen=True, slots=True)
class SheetFault:
    """A change of one line: of the sample for the laboratory."""

    sample: str
    laboratory: str
    mark: Mark
    changes: dict[str, str]
    act: str = "change"


FAULTS = (
    SheetFault(
        "Q240514-BAC", TARNWICK,
        Mark("unknown point on a custody sheet", "Sample point", "held", "sample_point_not_known",
             "The filter house has no point of this name."),
        {"Sample point": "BAC filter 7"},
    ),
    SheetFault(
        "Q240813-ROA", TARNWICK,
        Mark("unknown purpose", "Purpose", "held", "purpose_not_known",
             "Whether a sample counts for compliance is not guessed."),
        {"Purpose": "Recheck"},
    ),
    SheetFault(
        "Q250211-UFF", TARNWICK,
        Mark("no time of collection on a custody sheet", "Collected", "held", "collected_time_missing",
             "The sampler left it out."),
        {"Collected": ""},
    ),
    SheetFault(
        "Q250513-INF", tarn_basin.LABORATORY,
        Mark("date of collection in another form", "Collected", "held", "collected_time_not_readable",
             "5/13 or the fifth of a thirteenth month: nothing is guessed."),
        {"Collected": "5/13/2025 8:03"},
    ),
    SheetFault(
        "Q250909-OZE", TARNWICK,
        Mark("received before collected", "Received", "flagged", "steps_out_of_order",
             "The clock of the bench was wrong."),
        {"Relinquished": "2025-09-09 07:40", "Received": "2025-09-09 08:01"},
    ),
    SheetFault(
        "Q251209-ROB", TARNWICK,
        Mark("the same custody line twice", "Sample ID", "duplicate", "", "Wholly identical."), {}, "repeat",
    ),
    SheetFault(
        "Q260210-UF1", harrowfen.LABORATORY,
        Mark("one sample, two times", "Collected", "held", "",
             "Two lines for the same bottle with different times: which one counts only the sampler knows."),
        {"Collected": "2026-02-10 10:59"}, "twin",
    ),
)  # fmt: skip
_CORRECTED = ("Q260609-FIN", TARNWICK)
CORRECTED_SHEET = Mark(
    "custody sheet corrected", "Collected", "revision", "",
    "Revision 2 of June's sheet has the right time of one sample.",
)  # fmt: skip
SAME_LINE = Mark(
    "custody sheet sent again", "Sheet revision", "revision", "",
    "What revision 2 does not change is said anew by it.",
)  # fmt: skip
WRONG_TIME = Mark(
    "another time than in the sample log", "Collected", "flagged", "differs_from_sample_log",
    "The sheet and sample_log.csv differ until the corrected sheet comes.",
)  # fmt: skip


def files(seed: int) -> list[SentFile]:
    """A sheet a year, and one month's sheet again with a correction."""
    lines = faultless_lines(seed)
    june = [line for line in lines if f"{line.day:%Y-%m}" == "2026-06"]
    again = [_reissued(line) for line in june]
    wrong = next(line for line in june if _key(line) == _CORRECTED)
    wrong.texts["Collected"] = wrong.texts["Collected"][:11] + "08:05"
    wrong.marks.append(WRONG_TIME)
    for fault in FAULTS:
        _plant(fault, lines)
    sheets = [
        _file(name, [line for line in lines if first <= f"{line.day:%Y-%m}" <= last], f"{last}-30")
        for name, (first, last) in YEARS.items()
    ]
    return [*sheets, _file("custody_2026-06_revision_2.csv", again, "2026-10-31")]


def _reissued(line: Line) -> Line:
    again = line.copy(**{"Sheet revision": "2", "Issued": "2026-07-03"})
    again.marks.append(CORRECTED_SHEET if _key(line) == _CORRECTED else SAME_LINE)
    return again


def _key(line: Line) -> tuple[str, str]:
    return line.texts["Sample ID"], line.texts["Sent to"]


def _plant(fault: SheetFault, lines: list[Line]) -> None:
    place = next(number for number, line in enumerate(lines) if _key(line) == (fault.sample, fault.laboratory))
    _ACTS[fault.act](fault, lines, place)


def _change(fault: SheetFault, lines: list[Line], place: int) -> None:
    lines[place].texts.update(fault.changes)
    lines[place].marks.append(fault.mark)


def _repeat(fault: SheetFault, lines: list[Line], place: int) -> None:
    again = lines[place].copy()
    again.marks.append(fault.mark)
    lines.insert(place + 1, again)


def _twin(fault: SheetFault, lines: list[Line], place: int) -> None:
    other = lines[place].copy(**fault.changes)
    for twin in (lines[place], other):
        twin.marks.append(fault.mark)
    lines.insert(place + 1, other)


_ACTS: dict[str, Callable[[SheetFault, list[Line], int], None]] = {
    "change": _change, "repeat": _repeat, "twin": _twin,
}  # fmt: skip


def _file(name: str, lines: Iterable[Line], arrived: str) -> SentFile:
    text = io.StringIO()
    writer = csv.DictWriter(text, COLUMNS, lineterminator="\n")
    writer.writeheader()
    planted = []
    for number, line in enumerate(lines, 2):
        writer.writerow(line.texts)
        planted += [Planted(number, "Sample ID", "", mark, result_id=line.texts["Sample ID"]) for mark in line.marks]
    return SentFile(name, text.getvalue().encode(), arrived, tuple(planted))
