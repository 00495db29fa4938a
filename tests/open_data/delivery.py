"""One file of open data: loaded twice with the product, and read once with Python's csv module alone."""

import csv
import io
import shutil
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cached_property
from pathlib import Path

import polars as pl

from checks.run import run_checks
from pipeline.ingest.cells import FileCells, read_cells
from pipeline.ingest.layout import Layout
from pipeline.ingest.layout_files import plant_layouts, shipped_layouts
from pipeline.ingest.recognition import recognise
from pipeline.ingest.source import read_source
from pipeline.load import Occasion, load_file
from pipeline.plant.folder import read_plant
from pipeline.plant.plant import Plant
from pipeline.store import reading
from pipeline.store.connection import Store

PLANTS = Path(__file__).with_name("plants")
OCCASION = Occasion(datetime(2026, 6, 1, tzinfo=UTC), "tester")
FIRST, AGAIN = 1, 2


@dataclass(frozen=True)
class FileRow:
    """One record of the file: the physical line on which it starts, from 1, and its texts by header."""

    line: int
    texts: Mapping[str, str]

    def __getitem__(self, header: str) -> str:
        return self.texts[header]


def rows_of(path: Path) -> list[FileRow]:
    """Every record of a UTF-8 file below its header, by the csv module."""
    reader = csv.reader(io.StringIO(path.read_text("utf-8"), newline=""))
    header = next(reader)
    rows, line = [], reader.line_num + 1
    for fields in reader:
        rows.append(FileRow(line, dict(zip(header, fields, strict=True))))
        line = reader.line_num + 1
    return rows


def write_some(path: Path, to: Path, wanted: Callable[[int, Sequence[str]], bool]) -> None:
    """A smaller file: the first record, and those that are wanted by their number and cells; every byte as it is."""
    text = path.read_bytes().decode("utf-8")
    lines = list(io.StringIO(text, newline=""))
    reader, kept, start = csv.reader(io.StringIO(text, newline="")), [], 0
    for number, fields in enumerate(reader):
        if number == 0 or wanted(number, fields):
            kept += lines[start : reader.line_num]
        start = reader.line_num
    to.write_bytes("".join(kept).encode("utf-8"))


def layouts_of(folder: Path) -> list[Layout]:
    """The layouts of results that a plant folder can use: the shipped ones and its own."""
    known = [*shipped_layouts().values(), *plant_layouts(folder, ["USGS NWIS"]).values()]
    return [layout for layout in known if isinstance(layout, Layout)]


def cells_of(plant: str, path: Path) -> FileCells:
    """The cells of a file as written, by the layout that recognises it."""
    return read_cells(read_source(path), recognise(path, layouts_of(PLANTS / plant)))


def names_set_aside(plant: str) -> set[str]:
    """The names that a plant folder of these tests sets aside, by the csv module."""
    with (PLANTS / plant / "aliases.csv").open(encoding="utf-8", newline="") as aliases:
        return {row["as_written"] for row in csv.DictReader(aliases) if row["kind"] == "set aside"}


def load_twice(plant: str, path: Path, folder: Path) -> None:
    """Make a store with that plant folder and load the file into it, and then the same file again."""
    store = Store(folder)
    shutil.copytree(PLANTS / plant, store.plant_folder, dirs_exist_ok=True)
    store.create()
    for _ in (FIRST, AGAIN):
        layouts = layouts_of(store.plant_folder)
        load_file(store, read_plant(store.plant_folder), read_source(path), layouts, run_checks, OCCASION)


@dataclass(frozen=True)
class Delivery:
    """A file and the store into which it was loaded twice."""

    path: Path
    store: Store

    @cached_property
    def rows(self) -> list[FileRow]:
        """The file by the csv module."""
        return rows_of(self.path)

    @cached_property
    def plant(self) -> Plant:
        """The plant of the store."""
        return read_plant(self.store.plant_folder)

    def ask(self, query: str, values: Sequence[object] | None = None) -> list[tuple[object, ...]]:
        """The answer of the store."""
        with self.store.read() as connection:
            return connection.execute(query, values).fetchall()

    @cached_property
    def loads(self) -> dict[int, dict[str, object]]:
        """The account of each load."""
        with self.store.read() as connection:
            return {row["load_id"]: row for row in reading.loads(connection).iter_rows(named=True)}

    def account(self, load_id: int = FIRST) -> dict[str, object]:
        """What became of the cells of a load, without what is zero."""
        outcomes = ("empty", "set_aside", "held", "duplicate", "new", "revision")
        return {name: count for name in outcomes if (count := self.loads[load_id][name])}

    @cached_property
    def outcome_at(self) -> dict[int, str]:
        """Outcome by line, of the first load."""
        return dict(self.ask("SELECT line, outcome FROM current_outcome WHERE load_id = ?", [FIRST]))

    @cached_property
    def outcome_of(self) -> dict[tuple[int, str], str]:
        """Outcome by line and column, of the first load."""
        query = "SELECT line, column_name, outcome FROM current_outcome WHERE load_id = ?"
        return {(line, column): outcome for line, column, outcome in self.ask(query, [FIRST])}

    @cached_property
    def results(self) -> pl.DataFrame:
        """Every result of the store with the identifier of its sender, in force or not."""
        with self.store.read() as connection:
            return connection.sql("SELECT * FROM result JOIN result_key USING (key_id) ORDER BY line").pl()

    @cached_property
    def value_text_at(self) -> dict[int, str]:
        """Text of the value cell by line, wherever the store keeps one, of the first load."""
        stored = self.ask("SELECT line, value_text FROM result WHERE load_id = ?", [FIRST])
        held = self.ask(
            "SELECT line, value_text FROM held_text JOIN current_outcome USING (load_id, cell_id) WHERE load_id = ?",
            [FIRST],
        )
        return dict(stored) | dict(held)

    @cached_property
    def rules_at(self) -> dict[int, set[str]]:
        """The rules that speak of each line, of the first load."""
        rules: dict[int, set[str]] = {}
        query = "SELECT line, rule_id FROM finding JOIN current_outcome USING (load_id, cell_id) WHERE load_id = ?"
        for line, rule_id in self.ask(query, [FIRST]):
            rules.setdefault(line, set()).add(rule_id)
        return rules

    def lines_of(self, rule_id: str) -> set[int]:
        """The lines of which a rule speaks."""
        return {line for line, rules in self.rules_at.items() if rule_id in rules}

    def results_with_rows(self) -> Iterator[tuple[dict[str, object], FileRow]]:
        """Every result of the first load beside the row of the file on whose line it says it stands."""
        row_at = {row.line: row for row in self.rows}
        for result in self.results.filter(pl.col("load_id") == FIRST).iter_rows(named=True):
            yield result, row_at[result["line"]]


def counted(outcomes: Mapping[int, str]) -> dict[str, int]:
    """How many lines have each outcome, by the names of the account."""
    return {outcome.replace(" ", "_"): count for outcome, count in Counter(outcomes.values()).items()}
