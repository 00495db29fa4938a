"""What holds the cells of a load that the plant folder could answer: names, units, points and words not known yet."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from importlib import resources
from typing import Any, Final

import polars as pl
import pyarrow.compute as pc

from pipeline.ingest.cells import read_cells
from pipeline.ingest.file_layout import FileLayout, folded
from pipeline.ingest.layout import ConditionMeaning, Layout
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.ingest.recognition import choose_layout
from pipeline.ingest.scratch import scratch_database
from pipeline.ingest.source import SourceFile, decode_source
from pipeline.ingest.staging import stage
from pipeline.plant.meanings import Meaning, Missing, Suggestion, Unknown, suggest
from pipeline.plant.plant import Plant
from pipeline.store import archive, reading
from pipeline.store.connection import Store

# Which finding is cleared by an answer to what; every other one keeps its cell held.
_CLEARED_BY: Final = {
    "analyte_not_known": Missing.ANALYTE,
    "sample_point_not_known": Missing.POINT,
    "unit_not_known": Missing.UNIT,
    "basis_missing": Missing.BASIS,
    "non_detect_without_limit": Missing.REPORTING_LIMIT,
    "value_not_readable": Missing.CONDITION,
}
_TEXT_OF: Final = {
    Missing.ANALYTE: "analyte_text",
    Missing.POINT: "point_text",
    Missing.UNIT: "unit_text",
    Missing.BASIS: "analyte_text",
    Missing.REPORTING_LIMIT: "analyte_text",
    Missing.CONDITION: "condition_text",
}
_FLAG_OF: Final = {
    Missing.ANALYTE: "analyte_missing",
    Missing.POINT: "point_missing",
    Missing.UNIT: "unit_missing",
    Missing.BASIS: "basis_missing",
    Missing.REPORTING_LIMIT: "limit_missing",
    Missing.CONDITION: "condition_missing",
}


@dataclass(frozen=True, slots=True)
class HeldFor:
    """One unknown text of a load, what it can mean, and the cells that it holds.

    ``cells`` counts all of them, ``alone`` those that nothing else holds, which an answer would clear. ``layout`` is
    the name of the layout with which the file is read.
    """

    load_id: int
    file: str
    layout: str
    suggestion: Suggestion
    cells: int
    alone: int

    @property
    def unknown(self) -> Unknown:
        """The text that is not known."""
        return self.suggestion.unknown


def held_for(store: Store, plant: Plant, load_id: int, layouts: Iterable[FileLayout]) -> list[HeldFor]:
    """What holds the cells of a load and could be answered in the plant folder, most cells first.

    The held cells are read again from the archived file, as a retry would.
    """
    with store.read() as connection:
        loaded = reading.loaded_file(connection, load_id)
        held = reading.held_cells(connection, load_id)
    layouts = list(layouts)
    known = [layout for layout in layouts if isinstance(layout, Layout)]
    named = [layout for layout in known if layout.name == loaded.layout]
    if held.is_empty() or not known:
        return []
    rules = _rules(held)
    if any(layout.name == loaded.layout and not isinstance(layout, Layout) for layout in layouts):
        place = load_id, loaded.file_name, loaded.layout
        return [_held_for(unknown, cells, rules, plant, place) for unknown, cells in _of_sheet(held)]
    source = decode_source(loaded.file_name, archive.fetch(store.archive, loaded.sha256))
    layout = named[0] if named else choose_layout(source, known)
    rows = _held_again(source, layout, plant, rules.keys())
    found = [
        _held_for(unknown, cells, rules, plant, (load_id, loaded.file_name, layout.name))
        for unknown, cells in _unknown(rows, rules)
    ]
    return sorted(found, key=lambda one: (-one.alone, -one.cells, one.unknown.missing, one.unknown.as_written))


def _of_sheet(held: pl.DataFrame) -> Iterator[tuple[Unknown, list[int]]]:
    """Each unknown sample point of a custody sheet with its lines; all that an alias can answer there."""
    gathered: defaultdict[tuple[str, str], list[dict[str, Any]]] = defaultdict(list)
    for row in held.filter(pl.col("rule_id") == "sample_point_not_known").iter_rows(named=True):
        if row["point_text"].strip():
            gathered[folded(row["laboratory_text"]), folded(row["point_text"])].append(row)
    for some in gathered.values():
        sender, written = (" ".join(some[0][name].split()) for name in ("laboratory_text", "point_text"))
        samples = frozenset(row["sample_text"] for row in some) - {""}
        yield Unknown(Missing.POINT, sender, written, samples=samples), [row["cell_id"] for row in some]


def _rules(held: pl.DataFrame) -> dict[int, set[str]]:
    rules: defaultdict[int, set[str]] = defaultdict(set)
    for cell_id, rule in held.select("cell_id", "rule_id").iter_rows():
        rules[cell_id].add(rule or "")
    return rules


def _held_again(source: SourceFile, layout: Layout, plant: Plant, cell_ids: Iterable[int]) -> list[dict[str, Any]]:
    cells = read_cells(source, layout).table
    held = cells.filter(pc.is_in(cells.column("cell_id"), pl.Series(sorted(cell_ids), dtype=pl.Int64).to_arrow()))
    with scratch_database() as scratch:
        stage(scratch, held, layout, plant)
        sql = resources.files("pipeline.ingest").joinpath("sql", "what_is_missing.sql").read_text("utf-8")
        rows: list[dict[str, Any]] = scratch.sql(sql).pl().to_dicts()
    return rows


def _unknown(rows: Iterable[dict[str, Any]], rules: dict[int, set[str]]) -> Iterator[tuple[Unknown, list[int]]]:
    """Each unknown text with its cells, and with all that stands beside it in them."""
    gathered: defaultdict[tuple[Missing, str, str], list[dict[str, Any]]] = defaultdict(list)
    for row in rows:
        asked = {_CLEARED_BY[rule] for rule in rules[row["cell_id"]] if rule in _CLEARED_BY}
        for missing in asked:
            if row[_FLAG_OF[missing]] and row[_TEXT_OF[missing]].strip():
                gathered[missing, folded(row["sender"]), _compared(missing, row)].append(row)
    for (missing, _, _), some in gathered.items():
        texts = {name: frozenset(row[name].strip() for row in some) - {""} for name in _BESIDE}
        yield (
            Unknown(
                missing,
                some[0]["sender"],
                " ".join(some[0][_TEXT_OF[missing]].split()),
                analytes=frozenset(row["analyte"] for row in some if row["analyte"]),
                cas_numbers=texts["cas_text"],
                units=texts["unit_text"],
                fractions=texts["fraction_text"],
                samples=texts["sample_text"],
            ),
            [row["cell_id"] for row in some],
        )


_BESIDE: Final = ("cas_text", "unit_text", "fraction_text", "sample_text")


def _compared(missing: Missing, row: dict[str, Any]) -> str:
    text = " ".join(row[_TEXT_OF[missing]].split())
    return text if missing is Missing.UNIT else folded(text)  # the case of a unit tells mm from mM


def _held_for(
    unknown: Unknown, cells: list[int], rules: dict[int, set[str]], plant: Plant, load: tuple[int, str, str]
) -> HeldFor:
    alone = [cell for cell in cells if {_CLEARED_BY.get(rule) for rule in rules[cell]} == {unknown.missing}]
    suggestion = _condition(unknown) if unknown.missing is Missing.CONDITION else suggest(unknown, plant)
    return HeldFor(*load, suggestion, len(cells), len(alone))


_CONDITIONS: Final[dict[ConditionMeaning, str]] = {
    "below": "not detected, below the reporting limit",
    "below detection limit": "not detected, below the detection limit",
    "above": "more than could be measured",
    "present": "seen, without a number",
    "not analyzed": "there is no result",
    "estimated": "between detection and reporting limit",
    "remark": "says nothing about the value",
}


def _condition(unknown: Unknown) -> Suggestion:
    """Every meaning that a detection condition can have; the likely one where the open WQX lists have the words."""
    meanings = {meaning: Meaning(meaning, reason) for meaning, reason in _CONDITIONS.items()}
    written = folded(unknown.as_written)
    listed = {
        layout.words.condition.get(written)
        for layout in shipped_layouts().values()
        if isinstance(layout, Layout) and written in layout.words.condition
    }
    if len(listed) == 1:
        (known,) = listed
        likely = Meaning(str(known), "the Water Quality Exchange means this by it")
        return Suggestion(unknown, (likely, *(one for name, one in meanings.items() if name != known)), likely)
    return Suggestion(unknown, tuple(meanings.values()), doubt="Choose what the sender says by it of the value.")
