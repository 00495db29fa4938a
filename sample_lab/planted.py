"""The list of planted defects: what is wrong in which cell of which file, and what a load should make of it."""

import csv
from dataclasses import dataclass
from importlib import resources

from sample_lab.generator.deliveries import deliveries
from sample_lab.generator.files import DEFAULT_SEED, SENT_AGAIN

DEFECT_COLUMNS = (
    "file", "sheet", "line", "cell", "column", "result_id", "analyte", "kind", "expected", "rule_id", "why",
)  # fmt: skip
_TEXTS = tuple(name for name in DEFECT_COLUMNS if name != "line")


@dataclass(frozen=True, slots=True)
class PlantedDefect:
    """One planted defect.

    ``line`` is the physical line on which the record starts, or the row of a workbook's ``sheet``, from 1; ``None`` for
    a whole file. ``cell`` is the heading of the value's column, ``column`` the one in which the defect stands.
    ``expected`` is held, flagged, note, duplicate, revision, or accepted for what only looks wrong. ``rule_id`` is
    empty where the load itself decides. ``analyte`` is the plant's name, whatever the line says.
    """

    file: str
    sheet: str
    line: int | None
    cell: str
    column: str
    result_id: str
    analyte: str
    kind: str
    expected: str
    rule_id: str
    why: str

    @property
    def column_name(self) -> str:
        """The value's column as a load names it: in a workbook with its sheet."""
        return f"{self.sheet}!{self.cell}" if self.sheet else self.cell


def planted_defects() -> list[PlantedDefect]:
    """The shipped list, ``defects.csv``; places are the same for every seed."""
    content = resources.files("sample_lab").joinpath("defects.csv").read_text("utf-8")
    return [
        PlantedDefect(line=int(row["line"]) if row["line"] else None, **{name: row[name] for name in _TEXTS})
        for row in csv.DictReader(content.splitlines())
    ]


def list_defects(seed: int = DEFAULT_SEED) -> list[PlantedDefect]:
    """The list as the generator knows it, from which ``defects.csv`` is written."""
    defects = []
    for file in deliveries(seed):
        for place in file.planted:
            mark = place.mark
            where = (file.name, place.sheet, place.line, place.cell, mark.column, place.result_id, place.analyte)
            defects.append(PlantedDefect(*where, mark.kind, mark.expected, mark.rule_id, mark.why))
        if file.name == f"tarnwick_{SENT_AGAIN}_sent_again.csv":
            why = "The same bytes under another name: nothing in it is new."
            nowhere = ("", None, "", "", "", "")
            defects.append(PlantedDefect(file.name, *nowhere, "whole file sent again", "duplicate", "", why))
    return defects
