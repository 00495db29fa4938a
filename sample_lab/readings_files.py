"""Writes the historian's files: years of readings on the wall clock, and the fast readings of spells of trouble."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from sample_lab.generator.files import DEFAULT_SEED
from sample_lab.generator.readings.clock import Span
from sample_lab.generator.readings.historian import write_narrow, write_wide
from sample_lab.generator.readings.tags import chosen_tags
from sample_lab.generator.schedule import FIRST_DAY, LAST_DAY

QUARTER_OF_AN_HOUR = 15
ALL_YEARS = LAST_DAY.year - FIRST_DAY.year
# What happened in them is told in docs/sample_plant.md.
_FAST = {
    "historian_fast_2026-03.csv": (date(2026, 3, 1), date(2026, 3, 14), "AIT-4101 AIT-4201 AIT-4301 AIT-7104"),
    "historian_fast_2026-06.csv": (date(2026, 6, 13), date(2026, 6, 26), "AIT-3101 AIT-5102"),
    "historian_fast_2026-10.csv": (date(2026, 10, 10), date(2026, 10, 18), "AIT-6101 UIT-6102 JIT-6103 AIT-7101"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class ReadingsFile:
    """One written file, and how many readings it holds."""

    path: Path
    readings: int


def write_readings(folder: Path, seed: int = DEFAULT_SEED, *, years: int = ALL_YEARS) -> list[ReadingsFile]:
    """Write the last years of every tag each quarter of an hour, a file a year, and the fast readings of some weeks.

    Parameters
    ----------
    folder
        Where to write; made when it is not there. Files of the same names are replaced.
    seed
        Which world: that of the laboratory's files of the same seed.
    years
        How many years, counted back from the end of the record.

    Returns
    -------
    list of ReadingsFile
        In the order in which the historian made them.
    """
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for year in range(LAST_DAY.year - years, LAST_DAY.year):
        span = Span(FIRST_DAY.replace(year=year), LAST_DAY.replace(year=year + 1), QUARTER_OF_AN_HOUR)
        path = folder / f"historian_{year}-11_to_{year + 1}-10.csv"
        written.append(ReadingsFile(path, write_wide(path, seed, span, chosen_tags(""))))
    for name, (first, last, names) in _FAST.items():
        path = folder / name
        written.append(ReadingsFile(path, write_narrow(path, seed, Span(first, last, 1), chosen_tags(names))))
    return written


def write_minutes(folder: Path, months: int, seed: int = DEFAULT_SEED) -> list[ReadingsFile]:
    """Write the last months of the record with a reading of every tag each minute: a wide file a month, of 1.3 million.

    Parameters
    ----------
    months
        How many months, up to 36, counted back from the end of the record.
    """
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for back in range(months - 1, -1, -1):
        years, month = divmod(LAST_DAY.year * 12 + LAST_DAY.month - 1 - back, 12)
        first = date(years, month + 1, 1)
        following = date(years + (month == 11), (month + 1) % 12 + 1, 1)
        span = Span(first, date.fromordinal(following.toordinal() - 1), 1)
        path = folder / f"historian_minutes_{first:%Y-%m}.csv"
        written.append(ReadingsFile(path, write_wide(path, seed, span, chosen_tags(""))))
    return written
