"""Two open files of analyzers, every cell and line compared with what Python's csv reads in them.

Sources: drinking water at a waterworks outlet, one line a minute, 15 February to 10 May 2016 (GECCO 2017 Industrial
Challenge, CC BY 4.0); a sonde in Pringle Creek, Texas, July to December 2019 (National Ecological Observatory Network,
CC0). The counts are those of the files as published.
"""

import csv
import shutil
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import ROUND_HALF_UP, Decimal
from functools import cached_property
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from app.book import open_book
from app.commands.loading import load_files
from pipeline.load import LoadReport
from pipeline.store.connection import Store
from pipeline.store.readings_reading import gaps_between, overview
from pipeline.store.verify_readings import verify_readings

PLANTS = Path(__file__).parent / "plants"
WATERWORKS = "gecco-2017-drinking-water/waterDataTraining.csv"
CREEK = "neon-pringle-creek-sonde/neon_prin_downstream_5min.csv"


@dataclass
class Loaded:
    """A store, the file, and what loading it said."""

    store: Store
    file: Path
    reports: list[LoadReport]

    def ask(self, question: str) -> list[tuple[object, ...]]:
        with self.store.read() as connection:
            return connection.execute(question).fetchall()

    @cached_property
    def lines(self) -> list[tuple[int, dict[str, str]]]:
        """The lines of the file, numbered, as Python's csv reads them."""
        with self.file.open(newline="") as opened:
            return list(enumerate(csv.DictReader(opened), start=2))

    def stored(self, tag: str) -> dict[int, tuple[datetime, Decimal]]:
        """Time and value by line."""
        rows = self.ask(
            f"SELECT line, read_at, value FROM reading_in_force JOIN analyzer_tag USING (tag_id) WHERE tag = '{tag}'"
        )
        return {line: (moment.astimezone(UTC), value) for line, moment, value in rows}  # type: ignore[attr-defined, misc]

    def held_lines(self) -> dict[str, list[int]]:
        return dict(self.ask("SELECT tag, lines FROM reading_outcome WHERE outcome = 'held'"))  # type: ignore[arg-type]


def load(plant: str, file: Path, folder: Path, times: int) -> Loaded:
    """Load a file into a new store with the plant folder of that name, as the command does."""
    store = Store(folder)
    shutil.copytree(PLANTS / plant, store.plant_folder)
    store.create()
    book = open_book(folder)
    reports = [outcome.report for _ in range(times) for outcome in load_files(book, [file], book.layouts)]
    return Loaded(store, file, [report for report in reports if report is not None])


@pytest.fixture(scope="module")
def waterworks(open_data: Path, tmp_path_factory: pytest.TempPathFactory) -> Loaded:
    """The waterworks outlet, loaded twice."""
    return load("gecco", open_data / WATERWORKS, tmp_path_factory.mktemp("outlet"), times=2)


@pytest.fixture(scope="module")
def creek(open_data: Path, tmp_path_factory: pytest.TempPathFactory) -> Loaded:
    """The sonde in the creek."""
    return load("pringle_creek", open_data / CREEK, tmp_path_factory.mktemp("creek"), times=1)


def test_every_line_and_cell_of_the_outlet_is_accounted_for(waterworks: Loaded) -> None:
    first = waterworks.reports[0]
    rows = [row for _, row in waterworks.lines]
    cells = [text for row in rows for name, text in row.items() if name not in ("Time", "EVENT")]
    missing = cells.count("NA")
    # One spell of 11,519 minutes has no value at all; temperature lacks three more.
    assert (
        sum(all(text == "NA" for name, text in row.items() if name not in ("Time", "EVENT")) for row in rows) == 11_519
    )
    assert missing == sum(row["Tp"] == "NA" for row in rows) + sum(
        text == "NA" for row in rows for name, text in row.items() if name not in ("Time", "EVENT", "Tp")
    )
    assert missing >= 9 * 11_519 + 3
    assert (first.lines.header, first.lines.data, first.lines.total) == (1, 122_334, 122_335)
    assert first.account.as_dict() == {
        "cells": 10 * 122_334, "empty": missing, "set_aside": 122_334, "held": 0, "duplicate": 0,
        "new": 9 * 122_334 - missing, "revision": 0, "flagged": 0,
    }  # fmt: skip


def test_the_outlet_again_brings_nothing_new(waterworks: Loaded) -> None:
    first, again = (report.account for report in waterworks.reports)
    assert (again.new, again.revision, again.duplicate) == (0, 0, first.new)


@pytest.mark.parametrize("tag", ["Tp", "Leit", "Cl_2"])
def test_every_reading_of_the_outlet_is_what_the_file_says(waterworks: Loaded, tag: str) -> None:
    step = Decimal("0.000001")
    expected = {
        line: (datetime.fromisoformat(row["Time"]).replace(tzinfo=UTC), Decimal(row[tag]).quantize(step, ROUND_HALF_UP))
        for line, row in waterworks.lines
        if row[tag] != "NA"
    }
    assert waterworks.stored(tag) == expected


@pytest.mark.parametrize(
    ("tag", "value", "times"),
    [("Leit", 0, 170), ("Leit", 2500, 1), ("pH", 4, 197), ("Redox", 300, 163), ("Cl_2", 0, 266), ("Cl_2", 1, 2),
     ("Trueb", 0, 155), ("Trueb", "0.5", 23)],
)  # fmt: skip
def test_ends_of_scale_are_as_often_as_published(waterworks: Loaded, tag: str, value: object, times: int) -> None:
    assert sum(stored == Decimal(str(value)) for _, stored in waterworks.stored(tag).values()) == times


def test_the_spell_without_values_is_one_gap(waterworks: Loaded) -> None:
    with waterworks.store.read() as connection:
        tags = overview(connection).select("tag", "tag_id", "first_at", "last_at", "gaps", "gap_s")
        (flow,) = [row for row in tags.iter_rows(named=True) if row["tag"] == "Fm"]
        gaps = gaps_between(connection, flow["tag_id"], flow["first_at"], flow["last_at"], longest=timedelta(minutes=3))
    ((last_before, first_after),) = gaps
    assert (first_after - last_before).total_seconds() == 11_520 * 60
    assert last_before.astimezone(UTC) == datetime(2016, 3, 7, 4, 37, tzinfo=UTC)
    assert (flow["gaps"], flow["gap_s"]) == (1, 11_520 * 60)


def test_the_day_of_the_clock_change_has_23_hours(waterworks: Loaded) -> None:
    rows = waterworks.ask(
        "SELECT readings FROM reading_day JOIN analyzer_tag USING (tag_id) WHERE tag = 'Fm' AND day = '2016-03-27'"
    )
    assert rows == [(23 * 60,)]


def test_the_outlet_proves_itself(waterworks: Loaded) -> None:
    with waterworks.store.read() as connection:
        assert verify_readings(connection)[1] == []


CREEK_MISSING = {"turbidity": 10_428, "conductance": 1_231, "dissolvedOxygen": 1_234, "pH": 1_235, "fDOM": 1_247,
                 "level": 1_266, "temperature": 666}  # fmt: skip


def test_every_cell_of_the_creek_is_accounted_for(creek: Loaded) -> None:
    told = dict(creek.ask("SELECT tag, cells FROM reading_outcome WHERE outcome = 'empty'"))  # type: ignore[arg-type]
    assert {tag: cells for tag, cells in told.items() if tag in CREEK_MISSING} == CREEK_MISSING
    account = creek.reports[0].account
    assert account.cells == 9 * 52_992
    assert account.set_aside == 52_992
    assert account.closes


@pytest.mark.parametrize("tag", ["turbidity", "temperature"])
def test_a_value_that_would_change_is_held_and_every_other_is_exact(creek: Loaded, tag: str) -> None:
    written = {line: row for line, row in creek.lines if row[tag] != "NA"}
    exact = {line: Decimal(row[tag]) for line, row in written.items()}
    fits = {line: value for line, value in exact.items() if value == round(value, 6)}
    assert {line: value for line, (_, value) in creek.stored(tag).items()} == fits
    assert creek.held_lines().get(tag, []) == sorted(exact.keys() - fits.keys())


def test_a_storm_of_the_creek_is_in_its_day(creek: Loaded) -> None:
    here = ZoneInfo("America/Chicago")
    by_day: dict[date, list[Decimal]] = {}
    for moment, value in creek.stored("turbidity").values():
        by_day.setdefault(moment.astimezone(here).date(), []).append(value)
    expected = [(day, len(some), min(some), max(some), sum(some)) for day, some in sorted(by_day.items())]
    assert max(highest for _, _, _, highest, _ in expected) > 680
    rows = creek.ask(
        "SELECT day, readings, lowest, highest, total FROM reading_day JOIN analyzer_tag USING (tag_id) "
        "WHERE tag = 'turbidity' ORDER BY day"
    )
    assert rows == expected
