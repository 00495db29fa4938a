"""The faults in Fernholm's crosstabs, and its reissues: what a crosstab does that one result a line cannot."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from sample_lab.generator.points import Point
from sample_lab.generator.record import faultless_record
from sample_lab.generator.rows import Mark
from sample_lab.generator.senders.bench import Test
from sample_lab.generator.senders.fernholm import (
    CLIENT,
    SURROGATES,
    WRITTEN_POINTS,
    Block,
    Line,
    Report,
    faultless_reports,
    written,
)
from sample_lab.generator.senders.sent import SentFile
from sample_lab.generator.water import PFAS


@dataclass(frozen=True, slots=True)
class CellFault:
    """A change of one sample's row in one block: of the values of ``analytes``, or of ``heads`` before the values.

    ``analytes`` are headings as written; empty for every value of the row, which a change of ``heads`` spoils.
    """

    file: str
    block: str
    day: date
    point: Point
    mark: Mark
    analytes: tuple[str, ...] = ()
    value: str | None = None
    heads: Mapping[str, str] = field(default_factory=dict)


FAULTS = (
    CellFault(
        "fernholm_2024.csv", "PFAS", date(2024, 4, 9), Point.BIOLOGICAL_CARBON_EFFLUENT,
        Mark("month first among days first", "Sampled", "held", "collected_time_not_readable",
             "One row was typed by hand, with the month first: there is no month 29."),
        heads={"Sampled": "4.29.2024 08:31"},
    ),
    CellFault(
        "fernholm_2024.csv", "Indicators", date(2024, 7, 9), Point.INFLUENT,
        Mark("remark in place of a number", "Caffeine", "held", "value_not_readable", "The value went into a letter."),
        analytes=("Caffeine",), value="see letter",
    ),
    CellFault(
        "fernholm_2024.csv", "Volatiles", date(2024, 10, 8), Point.MEMBRANE_FILTRATE,
        Mark("decimal point among decimal commas", "Toluene", "held", "value_not_readable",
             "0.31 with a point: here a point stands between thousands."),
        analytes=("Toluene",), value="0.31",
    ),
    CellFault(
        "fernholm_2025.csv", "PFAS", date(2025, 4, 8), Point.FINISHED_WATER,
        Mark("late extraction of a block", "Extracted", "flagged", "extracted_late",
             "Extracted after 34 days; EPA method 533 allows 28: every analyte of the row."),
        heads={"Extracted": "12.05.2025 10:30", "Analysed": "15.05.2025 13:49", "Issued": "21.05.2025"},
    ),
    CellFault(
        "fernholm_2025.csv", "Indicators", date(2025, 7, 8), Point.PERMEATE_A,
        Mark("zero in a crosstab", "Estrone", "flagged", "zero_concentration",
             "The software wrote 0 where it had no peak."),
        analytes=("Estrone",), value="0",
    ),
    CellFault(
        "fernholm_2025.csv", "Volatiles", date(2025, 10, 14), Point.PERMEATE_B,
        Mark("unknown point in a crosstab", "Sampling point", "held", "sample_point_not_known",
             "The plant has no ninth point of this laboratory; the whole row hangs on it."),
        heads={"Sampling point": "QW-09 ?"},
    ),
    CellFault(
        "fernholm_2026-01.csv", "Volatiles", date(2026, 1, 13), Point.INFLUENT,
        Mark("broken vial", "every value", "accepted", "", "Not analyzed is an answer, for every analyte of the row."),
        value="not analyzed",
    ),
    CellFault(
        "fernholm_2026-01.csv", "PFAS", date(2026, 1, 13), Point.PERMEATE_A,
        Mark("non-detect with its limit in a line of its own", "PFHpS", "accepted", "",
             "ND means below the limit that stands below the heading."),
        analytes=("PFHpS",), value="ND",
    ),
    CellFault(
        "fernholm_2026-04.csv", "Indicators", date(2026, 4, 14), Point.OZONE_EFFLUENT,
        Mark("negative number in a crosstab", "Triclosan", "flagged", "negative_concentration",
             "Noise around nothing, printed as it came from the instrument."),
        analytes=("Triclosan",), value="-0,4",
    ),
)  # fmt: skip

# The file that the laboratory sent by mistake; the plant withdraws it.
BY_MISTAKE = "fernholm_2026-02_by_mistake.csv"
HEADING_MARK = Mark(
    "unknown heading of a crosstab", "Perfluoro-X", "held", "analyte_not_known",
    "The heading names no substance: every value below it is held.",
)  # fmt: skip
UNIT_MARK = Mark(
    "unit of the wrong kind below a heading", "Estrone", "held", "unit_of_another_kind",
    "The line of units says mg/kg for one column of water: every value below it is held.",
)  # fmt: skip
TWICE_MARK = Mark("the same row twice", "Lab no.", "duplicate", "", "A row copied with all its values.")
TWIN_MARK = Mark(
    "equal rows but for one value", "Gemfibrozil", "held", "",
    "One sample, printed twice, with two values in one column; the other columns agree and are duplicates.",
)  # fmt: skip
PRELIMINARY_MARK = Mark(
    "preliminary block", "Status", "note", "result_preliminary",
    "The final report has not come by the end of the record.",
)  # fmt: skip
CORRECTED_VALUE = Mark(
    "partial reissue with a revision number", "PFBA", "revision", "",
    "Revision 1 holds three rows of one block: the blank had been contaminated.",
)  # fmt: skip
CORRECTED_PLACE = Mark(
    "full reissue, two samples exchanged", "Sampling point", "revision", "",
    "Revision 1 is the whole report again; the permeates of two trains had been exchanged at the bench.",
)  # fmt: skip
CORRECTED_TIME = Mark(
    "full reissue, corrected time", "Sampled", "revision", "",
    "In the first report the finished water had been sampled at night.",
)  # fmt: skip
SAME_AGAIN = Mark(
    "reissue, unchanged", "Rev.", "revision", "", "A higher revision takes the place of a lower one, equal values too.",
)  # fmt: skip


_ARRIVED = {
    "fernholm_2024.csv": "2024-11-20", "fernholm_2025.csv": "2025-11-18", "fernholm_2026-01.csv": "2026-02-16",
    "fernholm_2026-04.csv": "2026-05-15", "fernholm_2026-07.csv": "2026-08-14", "fernholm_2026-10.csv": "2026-10-31",
}  # fmt: skip


def files(seed: int) -> Iterable[SentFile]:
    """Every file of the laboratory in the order of arrival, faults and reissues included."""
    reports = faultless_reports(seed)
    for fault in FAULTS:
        _plant(fault, reports[fault.file])
    _block(reports["fernholm_2025.csv"], "PFAS").headings["PFDoA"] = "Perfluoro-X"
    for line in _block(reports["fernholm_2025.csv"], "PFAS").lines:
        line.marks = [mark for mark in line.marks if mark[0] != "PFDoA"]
        if line.is_of_plant:
            line.marks.append(("PFDoA", HEADING_MARK))
    _wrong_unit(_block(reports["fernholm_2026-01.csv"], "Indicators"))
    _twice(_block(reports["fernholm_2026-04.csv"], "PFAS"))
    _twin(_block(reports["fernholm_2026-04.csv"], "Indicators"))
    _preliminary(_block(reports["fernholm_2026-10.csv"], "Volatiles"))
    partial = _partial_reissue(reports["fernholm_2026-04.csv"])
    full = _full_reissue(reports["fernholm_2026-07.csv"])
    for name, report in sorted(reports.items()):
        yield written(name, report, _ARRIVED[name])
    yield written("fernholm_2026-04_rev1.csv", partial, "2026-05-30")
    yield written("fernholm_2026-07_rev1.csv", full, "2026-08-25")
    yield written("fernholm_2026-07_for_tarnwick.csv", [_copy_for_the_first_laboratory(seed)], "2026-08-20")
    yield written(BY_MISTAKE, [_by_mistake(reports["fernholm_2026-01.csv"])], "2026-03-02")


def _plant(fault: CellFault, report: Report) -> None:
    line = _line(_block(report, fault.block), fault.day, fault.point)
    spoiled = fault.analytes or tuple(test.written for test in _block(report, fault.block).tests)
    for analyte in spoiled:
        if fault.value is not None:
            line.typed[analyte] = fault.value
        line.marks.append((analyte, fault.mark))
    line.heads.update(fault.heads)


def _wrong_unit(block: Block) -> None:
    block.units["Estrone"] = "mg/kg"
    for line in block.lines:
        if line.is_of_plant:
            line.marks.append(("Estrone", UNIT_MARK))


def _twice(block: Block) -> None:
    line = _line(block, date(2026, 4, 14), Point.INFLUENT)
    again = line.copy()
    again.marks = [(test.written, TWICE_MARK) for test in block.tests]
    block.lines.insert(block.lines.index(line) + 1, again)


def _twin(block: Block) -> None:
    line = _line(block, date(2026, 4, 14), Point.BIOLOGICAL_CARBON_EFFLUENT)
    other = line.copy()
    other.values["Gemfibrozil"] = "31.6"
    for twin in (line, other):
        twin.marks.append(("Gemfibrozil", TWIN_MARK))
    other.marks += [(test.written, TWICE_MARK) for test in block.tests if test.written != "Gemfibrozil"]
    block.lines.insert(block.lines.index(line) + 1, other)


def _preliminary(block: Block) -> None:
    for line in block.lines:
        line.heads["Status"] = "preliminary"
        if line.is_of_plant:
            line.marks += [(test.written, PRELIMINARY_MARK) for test in block.tests]


def _partial_reissue(report: Report) -> Report:
    """Three rows of one block with lower values: what the first report says is spoiled by its blank."""
    block = _block(report, "PFAS")
    points = (Point.PERMEATE_A, Point.PERMEATE_B, Point.FINISHED_WATER)
    again = []
    for point in points:
        line = _line(block, date(2026, 4, 14), point)
        corrected = line.copy()
        corrected.heads |= {"Rev.": "1", "Issued": "29.05.2026"}
        corrected.marks = [("PFBA", CORRECTED_VALUE)]
        corrected.marks += [(test.written, SAME_AGAIN) for test in block.tests if test.written != "PFBA"]
        line.values["PFBA"] = "6.4"
        again.append(corrected)
    return [Block("PFAS", block.tests, again)]


def _full_reissue(report: Report) -> Report:
    """The whole report again: two samples had been exchanged in one block, and one time was wrong in all."""
    day = date(2026, 7, 14)
    reissued = [Block(block.name, block.tests, [line.copy() for line in block.lines]) for block in report]
    for first, again in zip(report, reissued, strict=True):
        for line in again.lines:
            line.heads |= {"Rev.": "1", "Issued": "24.08.2026"}
        finished = _line(first, day, Point.FINISHED_WATER)
        finished.heads["Sampled"] = "14.07.2026 00:00"
        _mark_all(_line(again, day, Point.FINISHED_WATER), again, CORRECTED_TIME)
        if first.name == "PFAS":
            _exchange(*(_line(first, day, point) for point in (Point.PERMEATE_A, Point.PERMEATE_B)))
            for point in (Point.PERMEATE_A, Point.PERMEATE_B):
                _mark_all(_line(again, day, point), again, CORRECTED_PLACE)
        for line in again.lines:
            if not line.marks and line.is_of_plant:
                _mark_all(line, again, SAME_AGAIN)
    return reissued


def _copy_for_the_first_laboratory(seed: int) -> Block:
    """What the first laboratory had measured here in July, when its own instrument stood: the same numbers again."""
    rows = [
        row
        for row in faultless_record(seed)["2026-07"]
        if row.analyte in PFAS and "quality" not in row.texts["purpose"]
    ]
    copied = [Test("PFAS", analyte, analyte, "ng/l", "EPA 533", 2, 2, "1.0", "1.0", 0.0, ()) for analyte in PFAS]
    lines = []
    for number, point in enumerate((Point.MEMBRANE_FILTRATE, Point.FINISHED_WATER), 1):
        of_point = {row.analyte: row.texts for row in rows if row.point == point}
        texts = of_point[PFAS[0]]
        heads = {
            "Lab no.": f"FH2607-T{number:02d}", "Client": CLIENT, "Client sample": texts["sample"], "Type": "Sample",
            "Sampling point": WRITTEN_POINTS[point], "Sampled": _days_first(texts["collected"]),
            "Received": _days_first(texts["received"]), "Extracted": _days_first(texts["extracted"]),
            "Analysed": _days_first(texts["analyzed"]), "Rev.": "0", "Status": "final", "Issued": "18.08.2026",
        }  # fmt: skip
        values = {name: _at_least(of_point[name]["value"]) for name in PFAS} | {SURROGATES["PFAS"]: "97"}
        lines.append(Line(heads, values, date(2026, 7, 14), point))
    return Block("PFAS", copied, lines)


def _at_least(value: str) -> str:
    return value if value[0].isdigit() and float(value) >= 1 else "<1.0"


def _days_first(text: str) -> str:
    return f"{datetime.fromisoformat(text):%d.%m.%Y %H:%M}"


def _by_mistake(report: Report) -> Block:
    """A sample of another plant, entered under this one's name and number; the laboratory asked to have it back."""
    block = _block(report, "PFAS")
    line = _line(block, date(2026, 1, 13), Point.FINISHED_WATER).copy()
    line.heads |= {"Lab no.": "FH2602-P07", "Issued": "27.02.2026"}
    line.values |= {"PFBA": "31", "PFPeA": "44", "PFHxA": "52"}
    return Block("PFAS", block.tests, [line])


def _exchange(one: Line, other: Line) -> None:
    for head in ("Client sample", "Sampling point", "Sampled"):
        one.heads[head], other.heads[head] = other.heads[head], one.heads[head]


def _mark_all(line: Line, block: Block, mark: Mark) -> None:
    line.marks = [(test.written, mark) for test in block.tests]


def _block(report: Report, name: str) -> Block:
    return next(block for block in report if block.name == name)


def _line(block: Block, day: date, point: Point) -> Line:
    return next(line for line in block.lines if line.day == day and line.point == point)
