"""Work that changes a store, each piece as it is done by a process of its own that may be killed at any moment.

A piece of work has a store to begin with, made by ``prepare``, and is done by ``run``, which gets nothing but the
store's folder. The clock stands still, so that two stores with the same history hold the same rows.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from checks.run import run_checks
from pipeline.analyzers.load_readings import Sizes, load_readings
from pipeline.correct import withdraw_load
from pipeline.deliver import read_again
from pipeline.effect import Correction
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.ingest.source import decode_source
from pipeline.load import Occasion, load_file
from pipeline.plant.folder import read_plant
from pipeline.store.connection import Store
from pipeline.store.readings_compact import compact_readings
from pipeline.store.readings_workroom import readings_workroom
from tests.narrow_files import PLANT_TOML, SAMPLE_POINTS, narrow_file
from tests.pipeline.analyzers.historian import Historian, narrow_layout

OCCASION = Occasion(datetime(2026, 6, 1, 12, 0, tzinfo=UTC), "tester")
UNKNOWN = "Bromat (neu)"
ALIAS = f"sender,as_written,kind,means\n*,{UNKNOWN},analyte,Bromate\n"


@dataclass(frozen=True, slots=True)
class Work:
    """A piece of work and the store that it begins with."""

    prepare: Callable[[Path], None]
    run: Callable[[Path], None]


def month_of_results(month: int, bromate: str = "Bromate") -> bytes:
    """A file of one month: three analytes a day, one of them under the given name."""
    return narrow_file(
        *(
            {
                "laboratory_sample": f"L-{month}-{day}",
                "collected": f"2026-{month:02}-{day:02} 08:15",
                "received": f"2026-{month:02}-{day:02} 12:00",
                "analyzed": f"2026-{month:02}-{day:02} 15:00",
                "reported": "2026-05-08",
                "unit": "ug/L",
                "detection_limit": "",
                "reporting_limit": "0.5",
                "analyte": analyte,
                "value": value,
            }
            for day in range(1, 29)
            for analyte, value in ((bromate, "3.2"), ("Chlorate", "41"), ("Chlorite", "<0.5"))
        )
    )


def _store_with(folder: Path, **files: bytes) -> None:
    store = Store(folder)
    store.plant_folder.mkdir(parents=True)
    (store.plant_folder / "plant.toml").write_text(PLANT_TOML)
    (store.plant_folder / "sample_points.csv").write_text(SAMPLE_POINTS)
    store.create()
    for name, content in files.items():
        _load(folder, f"{name}.csv", content)


def _load(folder: Path, name: str, content: bytes) -> None:
    store = Store(folder)
    layouts = [shipped_layouts()["narrow.toml"]]
    load_file(store, read_plant(store.plant_folder), decode_source(name, content), layouts, run_checks, OCCASION)


def store_with_a_month(folder: Path) -> None:
    """One month of results."""
    _store_with(folder, march=month_of_results(3))


def load_another_month(folder: Path) -> None:
    """Load a second month."""
    _load(folder, "april.csv", month_of_results(4))


def store_with_held_cells(folder: Path) -> None:
    """One month of results, a third of them held for their name, and the alias that clears them."""
    _store_with(folder, march=month_of_results(3, UNKNOWN))
    (folder / "plant" / "aliases.csv").write_text(ALIAS)


def retry_held_cells(folder: Path) -> None:
    """Read the held cells again."""
    store = Store(folder)
    read_again(store, read_plant(store.plant_folder), 1, list(shipped_layouts().values()), run_checks, OCCASION)


def store_with_two_tellers(folder: Path) -> None:
    """A month that two files tell in part, the second with a correction."""
    corrected = month_of_results(3).replace(b"3.2", b"3.9").replace(b"2026-05-08", b"2026-05-20")
    _store_with(folder, march=month_of_results(3), again=corrected)


def withdraw_the_correction(folder: Path) -> None:
    """Take the second file back."""
    store = Store(folder)
    correction = Correction(OCCASION, on=OCCASION.at.date(), confirmed=True)
    withdraw_load(store, read_plant(store.plant_folder), 2, "wrong instrument", correction)


def store_with_readings(folder: Path) -> None:
    """Three days of readings, delivered one by one, and one of the month after."""
    historian = Historian(folder.parent)
    for day in (datetime(2026, 3, 3 + number, tzinfo=UTC) for number in range(3)):
        historian.load(day_of_readings(day), part_readings=5000)
    historian.load(day_of_readings(datetime(2026, 4, 2, tzinfo=UTC)), part_readings=5000)
    historian.store.folder.rename(folder)


def day_of_readings(day: datetime) -> str:
    """A reading a minute of two tags."""
    lines = [
        f"{day + timedelta(minutes=minute):%Y-%m-%d %H:%M:%S},{tag},{0.05 + minute % 7 / 100:.3f},Good"
        for minute in range(1440)
        for tag in ("TURB", "TOC")
    ]
    return "\n".join(["time,tag,value,status", *lines, ""])


def load_readings_in_parts(folder: Path) -> None:
    """Load two more days, one of them a correction of a known one, in many parts."""
    store = Store(folder)
    path = folder.parent / "two days.csv"
    known, fresh = datetime(2026, 4, 2, tzinfo=UTC), datetime(2026, 4, 3, tzinfo=UTC)
    more = day_of_readings(fresh).split("\n", 1)[1]
    path.write_text(day_of_readings(known).replace("0.070", "0.071") + more)
    load_readings(
        store, read_plant(store.plant_folder), path, narrow_layout(), OCCASION, sizes=Sizes(2**15, part_readings=300)
    )


def compact_the_closed_month(folder: Path) -> None:
    """Put the month that is over into one part."""
    store = Store(folder)
    with readings_workroom(store):
        compact_readings(store, read_plant(store.plant_folder).zone)


WORK = {
    "load": Work(store_with_a_month, load_another_month),
    "retry": Work(store_with_held_cells, retry_held_cells),
    "withdraw": Work(store_with_two_tellers, withdraw_the_correction),
    "readings": Work(store_with_readings, load_readings_in_parts),
    "compact": Work(store_with_readings, compact_the_closed_month),
}


def do(name: str, folder: str) -> None:
    """Do a piece of work; the entry of the process that is killed."""
    WORK[name].run(Path(folder))
