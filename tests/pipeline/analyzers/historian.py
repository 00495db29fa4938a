"""A store of a plant with a few tags, into which files of readings are loaded from their text."""

from collections.abc import Mapping
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from pipeline.analyzers.load_readings import Sizes, load_readings
from pipeline.analyzers.readings_layout import ReadingsLayout
from pipeline.analyzers.withdraw_readings import withdraw_readings
from pipeline.load import LoadReport, Occasion
from pipeline.plant.folder import read_plant
from pipeline.plant.plant import Plant
from pipeline.store.connection import Store
from pipeline.store.verify_readings import verify_readings
from pipeline.store.writing import add_event

HEADER = (
    "tag,sample_point,analyte,quantity,unit,range_low,range_high,usual_low,usual_high,expected_interval_s,"
    "run_status_tag,also_written\n"
)
TAGS = (
    HEADER + "TURB,FIN,Turbidity,,NTU,0,10,,0.3,60,RUN,FIN TURBIDITY\n"
    "TOC,FIN,Total organic carbon,,mg/L,0,1,,,60,,\n"
    "RUN,FIN,,plant runs,,,,,,60,,\n"
)
LOADED_AT = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)


def narrow_layout(**changes: Any) -> ReadingsLayout:
    """A narrow layout with status, in UTC; any key may be changed."""
    said: dict[str, Any] = {
        "name": "narrow",
        "signature": ["time", "tag", "value"],
        "shape": "narrow",
        "columns": {"time": "time", "tag": "tag", "value": "value", "status": "status"},
        "time": {"zone": "UTC"},
        "missing": ["NA", "?"],
        "words": {
            "flag": {"Good": "good", "Doubt": "suspect", "Bad": "fail", "None": "missing"},
            "value": {"RUN": "1", "STOP": "0"},
        },
    }
    return ReadingsLayout.model_validate({**said, **changes})


def wide_layout(**changes: Any) -> ReadingsLayout:
    """A wide layout without status, in UTC; any key may be changed."""
    said: dict[str, Any] = {
        "name": "wide",
        "signature": ["Time", "TURB"],
        "shape": "wide",
        "columns": {"time": "Time"},
        "time": {"zone": "UTC"},
        "missing": ["NA"],
    }
    return ReadingsLayout.model_validate({**said, **changes})


class Historian:
    """Loads texts as files, and asks what the store made of them."""

    def __init__(self, folder: Path, tags: str = TAGS, zone: str = "America/Los_Angeles") -> None:
        self.folder = folder
        self.store = Store(folder / "store")
        self.store.create()
        self.zone = zone
        self.write_plant(tags)

    def write_plant(self, tags: str) -> None:
        """Write the plant folder anew."""
        folder = self.store.plant_folder
        folder.mkdir(exist_ok=True)
        (folder / "plant.toml").write_text(f'name = "Test Plant"\ntime_zone = "{self.zone}"\n')
        (folder / "sample_points.csv").write_text(
            "sample_point,name,place,disinfected\nFIN,Finished water,finished water entry point,yes\n"
        )
        (folder / "analyzers.csv").write_text(tags)
        self.plant: Plant = read_plant(folder)

    def load(
        self,
        content: str | bytes,
        layout: ReadingsLayout | None = None,
        *,
        block_bytes: int = 2**20,
        part_readings: int = 1000,
        dry_run: bool = False,
        loaded_at: datetime = LOADED_AT,
    ) -> LoadReport:
        """Load a text as a file."""
        path = self.folder / "readings.csv"
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return load_readings(
            self.store, self.plant, path, layout or narrow_layout(), Occasion(loaded_at, "tester"),
            dry_run=dry_run, sizes=Sizes(block_bytes, part_readings),
        )  # fmt: skip

    def withdraw(self, load_id: int) -> None:
        """Take a load back, as the command does."""
        with self.store.write() as connection:
            event_id = add_event(
                connection, kind="withdraw", at=LOADED_AT, who="tester", plant_sha256=self.plant.version
            )
            connection.execute("INSERT INTO withdrawal VALUES (?, ?, 'test')", [event_id, load_id])
            withdraw_readings(connection, load_id, event_id)

    def ask(self, question: str, values: Any = None) -> list[tuple[Any, ...]]:
        """Rows that the store answers."""
        with self.store.read() as connection:
            return connection.execute(question, values).fetchall()

    def in_force(self) -> dict[tuple[str, datetime], tuple[Decimal, int]]:
        """Value and flag by tag and time."""
        rows = self.ask("SELECT tag, read_at, value, flag FROM reading_in_force JOIN analyzer_tag USING (tag_id)")
        found = {(tag, read_at.astimezone(UTC)): (value, flag) for tag, read_at, value, flag in rows}
        assert len(found) == len(rows)
        return found

    def why(self, outcome: str = "held") -> dict[str, list[int]]:
        """Lines of the cells of the last load with one outcome, by what their reason begins with."""
        rows = self.ask(
            "SELECT reason, lines FROM reading_outcome WHERE outcome = ? AND load_id = (SELECT max(load_id) FROM load)",
            [outcome],
        )
        found: dict[str, list[int]] = {}
        for reason, lines in rows:
            found[reason] = sorted(found.get(reason, []) + lines)
        return found

    def faults(self) -> list[str]:
        """What the proof of the readings finds wrong."""
        with self.store.read() as connection:
            return verify_readings(connection)[1]


def account(report: LoadReport) -> Mapping[str, int]:
    """The parts of an account that are not zero."""
    assert report.account.closes
    return {name: count for name, count in report.account.as_dict().items() if count and name != "cells"}
