"""What goes wrong with analyzers, and when: planted in the faultless readings, and listed in ``troubles.csv``.

Besides those, every analyzer whose status the historian keeps is calibrated for ninety minutes on the first Wednesday
of a month.
"""

import csv
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from importlib import resources

import polars as pl

from sample_lab.generator.readings.chance import hashed, key_of
from sample_lab.generator.readings.clock import minute_of, on_the_wall
from sample_lab.generator.readings.tags import Tag

RUNNING, CALIBRATION = "RUN", "CAL"
_CALIBRATED = (9 * 60, 10 * 60 + 30)
_WEDNESDAY = 3


@dataclass(frozen=True, slots=True)
class Trouble:
    """One trouble of one tag, from ``start`` up to but not including ``end``, on the plant's wall clock.

    ``kind`` is *gap* (no readings), *frozen* (the value at the start again and again), *spike* and *out of range*
    (``value`` instead), *text* (``value`` is a word), *twice* (each reading stands there two times) or *twice with
    another value* (the second time as ``value``).
    """

    tag: str
    kind: str
    start: datetime
    end: datetime
    value: str
    why: str

    @property
    def minutes(self) -> tuple[int, int]:
        """First minute, and the first one after it."""
        return minute_of(self.start), minute_of(self.end)


@cache
def troubles() -> tuple[Trouble, ...]:
    """Every trouble in the list."""
    content = resources.files("sample_lab.generator.readings").joinpath("troubles.csv").read_text("utf-8")
    return tuple(
        Trouble(
            row["tag"], row["kind"], datetime.fromisoformat(row["start"]), datetime.fromisoformat(row["end"]),
            row["value"], row["why"],
        )
        for row in csv.DictReader(content.splitlines())
    )  # fmt: skip


def calibrated(minutes: pl.Series) -> pl.Series:
    """Whether analyzers are being calibrated at each minute."""
    wall = on_the_wall(minutes)
    of_day = wall.dt.hour().cast(pl.Int64) * 60 + wall.dt.minute().cast(pl.Int64)
    first_wednesday = (wall.dt.weekday() == _WEDNESDAY) & (wall.dt.day() <= 7)
    return first_wednesday & (of_day >= _CALIBRATED[0]) & (of_day < _CALIBRATED[1])


def troubled(minutes: pl.Series, shown: pl.Series, tag: Tag) -> pl.Series:
    """What the historian keeps of one tag: null in a gap, else the number that the analyzer gave.

    During a calibration it shows the standard: a tenth of its range, or three quarters.
    """
    column = pl.DataFrame({"minute": minutes, "value": shown})
    value = pl.col("value")
    if tag.has_status:
        column = column.with_columns(calibrates=calibrated(minutes), half=hashed(minutes // 45, key_of(tag.tag)) % 2)
        standard = pl.when(pl.col("half") == 0).then(tag.range_high * 0.1).otherwise(tag.range_high * 0.75)
        value = pl.when(pl.col("calibrates")).then(standard).otherwise(value)
    for trouble in troubles():
        if trouble.tag == tag.tag and trouble.kind in _SHOWS:
            first, end = trouble.minutes
            within = (pl.col("minute") >= first) & (pl.col("minute") < end)
            value = pl.when(within).then(_SHOWS[trouble.kind](trouble, within)).otherwise(value)
    return column.select(value.alias(tag.tag)).to_series()


def _nothing(_trouble: Trouble, _within: pl.Expr) -> pl.Expr:
    return pl.lit(None, dtype=pl.Float64)


def _the_first_again(_trouble: Trouble, within: pl.Expr) -> pl.Expr:
    return pl.col("value").filter(within).first()


def _another(trouble: Trouble, _within: pl.Expr) -> pl.Expr:
    return pl.lit(float(trouble.value))


_SHOWS = {"gap": _nothing, "frozen": _the_first_again, "spike": _another, "out of range": _another}
