"""The list of planted defects: what is wrong in which line of which file, and what a load should make of it."""

import csv
from dataclasses import dataclass
from importlib import resources

from sample_lab.generator.files import DEFAULT_SEED, SENT_AGAIN_MONTH, sample_files

DEFECT_COLUMNS = ("file", "line", "column", "result_id", "analyte", "kind", "expected", "rule_id", "why")
_TEXTS = tuple(name for name in DEFECT_COLUMNS if name != "line")


@dataclass(frozen=True, slots=True)
class PlantedDefect:
    """One planted defect.

    ``line`` is the physical line on which the record starts, from 1; ``None`` for a whole file. ``expected`` is held,
    flagged, note, duplicate, revision, or accepted for what only looks wrong. ``rule_id`` is empty where the load
    itself decides. ``analyte`` is the plant's name, whatever the line says.
    """

    file: str
    line: int | None
    column: str
    result_id: str
    analyte: str
    kind: str
    expected: str
    rule_id: str
    why: str


def planted_defects() -> list[PlantedDefect]:
    """The shipped list, ``defects.csv``; lines are the same for every seed."""
    content = resources.files("sample_lab").joinpath("defects.csv").read_text("utf-8")
    return [
        PlantedDefect(line=int(row["line"]) if row["line"] else None, **{name: row[name] for name in _TEXTS})
        for row in csv.DictReader(content.splitlines())
    ]


def list_defects(seed: int = DEFAULT_SEED) -> list[PlantedDefect]:
    """The list as the generator knows it, from which ``defects.csv`` is written."""
    defects = []
    for file in sample_files(seed):
        for line, row, mark in file.marked:
            place = (file.name, line, mark.column, row.texts["result_id"], row.analyte)
            defects.append(PlantedDefect(*place, mark.kind, mark.expected, mark.rule_id, mark.why))
        if file.name == f"tarnwick_{SENT_AGAIN_MONTH}_sent_again.csv":
            why = "The same bytes under another name: nothing in it is new."
            defects.append(PlantedDefect(file.name, None, "", "", "", "whole file sent again", "duplicate", "", why))
    return defects
