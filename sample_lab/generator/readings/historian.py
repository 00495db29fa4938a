"""The historian's files of readings: wide ones on the plant's wall clock, and narrow ones in UTC."""

from pathlib import Path

import polars as pl

from sample_lab.generator.readings.clock import Span, in_utc, on_the_wall
from sample_lab.generator.readings.frame import readings
from sample_lab.generator.readings.tags import STATUS_SUFFIX, Tag
from sample_lab.generator.readings.troubles import Trouble, troubles

NOTHING = ""
_WALL_CLOCK = "%m/%d/%Y %H:%M"
_UTC = "%Y-%m-%dT%H:%M:%SZ"


def write_wide(path: Path, seed: int, span: Span, chosen: tuple[Tag, ...]) -> int:
    """One time a line and one tag a column, on the wall clock: in autumn an hour stands there twice.

    Returns
    -------
    int
        Number of readings in the file.
    """
    table = readings(seed, span, chosen)
    count = sum(table.height - table[tag.tag].null_count() for tag in chosen)
    time = on_the_wall(table["minute"]).dt.strftime(_WALL_CLOCK).alias("Time")
    minutes = table["minute"]
    columns: list[pl.Series] = [time]
    for tag in chosen:
        columns.append(_with_words(minutes, table[tag.tag], tag))
        if tag.has_status:
            columns.append(table[tag.tag + STATUS_SUFFIX])
    pl.DataFrame(columns).write_csv(path, null_value=NOTHING)
    return count


def write_narrow(path: Path, seed: int, span: Span, chosen: tuple[Tag, ...]) -> int:
    """One reading a line, in UTC, tag after tag within each day as the historian keeps them; gaps are not there.

    Returns
    -------
    int
        Number of readings in the file.
    """
    table = readings(seed, span, chosen)
    parts = [_narrow(table, tag) for tag in chosen]
    whole = pl.concat(parts).sort(pl.col("minute") // 1440, maintain_order=True)
    time = in_utc(whole["minute"]).dt.strftime(_UTC)
    whole.select("Tag", time.alias("Time"), "Value", "Quality").write_csv(path, separator=";")
    return whole.height


def _narrow(table: pl.DataFrame, tag: Tag) -> pl.DataFrame:
    minutes = table["minute"]
    columns = {
        "minute": minutes,
        "Tag": pl.repeat(tag.tag, table.height, eager=True),
        "Value": _with_words(minutes, table[tag.tag], tag),
        "Quality": table[tag.tag + STATUS_SUFFIX] if tag.has_status else pl.repeat("RUN", table.height, eager=True),
    }
    part = pl.DataFrame(columns).drop_nulls("Value")
    for trouble in troubles():
        if trouble.tag == tag.tag and trouble.kind.startswith("twice"):
            part = pl.concat([part, _again(part, trouble)])
    return part


def _again(part: pl.DataFrame, trouble: Trouble) -> pl.DataFrame:
    """The readings of a while once more, as the historian wrote them a second time."""
    first, end = trouble.minutes
    again = part.filter((pl.col("minute") >= first) & (pl.col("minute") < end))
    return again.with_columns(Value=pl.lit(trouble.value)) if trouble.value else again


def _with_words(minutes: pl.Series, shown: pl.Series, tag: Tag) -> pl.Series:
    """The numbers as texts, with the words that stand in their place in times of trouble."""
    text = shown.cast(pl.String) if tag.decimals else shown.cast(pl.Int64).cast(pl.String)
    table = pl.DataFrame({"minute": minutes, "text": text})
    value = pl.col("text")
    for trouble in troubles():
        if trouble.tag == tag.tag and trouble.kind == "text":
            first, end = trouble.minutes
            value = (
                pl.when((pl.col("minute") >= first) & (pl.col("minute") < end))
                .then(pl.lit(trouble.value))
                .otherwise(value)
            )
    return table.select(value.alias(tag.tag)).to_series()
