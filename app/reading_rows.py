"""Readings as rows that commands and pages show alike: tags with their spans, days with their means, each reading."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

import polars as pl

from app import figures
from pipeline.analyzers.flags import WORDS
from pipeline.plant.analyzers import Analyzer

MEAN_DECIMALS = 6


def tag_table(overview: pl.DataFrame, analyzers: Mapping[str, Analyzer], zone: ZoneInfo) -> pl.DataFrame:
    """One row a tag: what it reads, between which times, how many readings, gaps and hours out of range."""
    rows = []
    for row in overview.iter_rows(named=True):
        analyzer = analyzers.get(row["tag"])
        rows.append(
            (
                row["tag"],
                analyzer.sample_point if analyzer else "",
                analyzer.measures if analyzer else "no longer in analyzers.csv",
                analyzer.unit if analyzer else "",
                f"{row['first_at'].astimezone(zone):%Y-%m-%d %H:%M}",
                f"{row['last_at'].astimezone(zone):%Y-%m-%d %H:%M}",
                row["readings"],
                row["gaps"],
                hours(row["gap_s"]),
                row["flagged"],
                row["outside"],
                hours(row["outside_s"]),
                plain_number(row["lowest"]),
                plain_number(row["highest"]),
            )
        )
    texts = ("Tag", "Sample point", "Reads", "Unit", "First", "Last", "Gaps, hours", "Out of range, hours", "Lowest")
    columns = (
        *("Tag", "Sample point", "Reads", "Unit", "First", "Last", "Readings", "Gaps", "Gaps, hours", "Flagged"),
        *("Out of range", "Out of range, hours", "Lowest", "Highest"),
    )
    schema = {name: pl.String if name in (*texts, "Highest") else pl.Int64 for name in columns}
    return pl.DataFrame(rows, schema=schema, orient="row")


def day_table(days: pl.DataFrame) -> pl.DataFrame:
    """One row a day, newest first; the mean is exact and rounded once, to six decimals."""
    rows = [
        (
            row["day"].isoformat(),
            row["readings"],
            row["flagged"],
            row["outside"],
            plain_number(row["lowest"]),
            mean_text(row["total"], row["usable"]),
            plain_number(row["highest"]),
            row["inner_gaps"],
            hours(row["outside_s"]),
        )
        for row in days.sort("day", descending=True).iter_rows(named=True)
    ]
    schema = {
        "Day": pl.String, "Readings": pl.Int64, "Flagged": pl.Int64, "Out of range": pl.Int64, "Lowest": pl.String,
        "Mean": pl.String, "Highest": pl.String, "Gaps": pl.Int64, "Out of range, hours": pl.String,
    }  # fmt: skip
    return pl.DataFrame(rows, schema=schema, orient="row")


def reading_table(readings: pl.DataFrame, tag: str, unit: str, zone: ZoneInfo) -> pl.DataFrame:
    """One row a reading, with what the historian says of it, its mark, and the file and line that it stands in."""
    words = {number: word.value for number, word in WORDS.items()}
    return readings.select(
        pl.lit(tag).alias("Tag"),
        pl.col("read_at").dt.convert_time_zone(zone.key).dt.strftime("%Y-%m-%d %H:%M:%S%z").alias("Time"),
        pl.col("value").cast(pl.String).str.strip_chars_end("0").str.strip_chars_end(".").alias("Value"),
        pl.lit(unit).alias("Unit"),
        pl.col("flag").cast(pl.Int64).replace_strict(words, return_dtype=pl.String).alias("Historian says"),
        pl.col("mark").cast(pl.Int64).replace_strict(words, return_dtype=pl.String).alias("Mark"),
        pl.col("load_id").alias("Load"),
        pl.col("file_name").alias("File"),
        pl.col("line").alias("Line"),
    )


def mean_text(total: Decimal | None, usable: int) -> str:
    """The mean of a day, exact and rounded half up once; empty where no reading is usable."""
    if total is None or not usable:
        return ""
    return plain_number(Decimal(figures.half_up(Fraction(total) / usable, MEAN_DECIMALS)))


def hours(seconds: int) -> str:
    """Seconds as hours with one decimal; empty for none.

    >>> hours(5400), hours(0)
    ('1.5', '')
    """
    return figures.half_up(Fraction(seconds, 3600), 1) if seconds else ""


def plain_number(value: Decimal | None) -> str:
    """A stored value without the zeros that the store adds; empty for none.

    >>> plain_number(Decimal("0.021000")), plain_number(Decimal("100.000000"))
    ('0.021', '100')
    """
    if value is None:
        return ""
    return f"{value:f}".rstrip("0").rstrip(".") if "." in f"{value:f}" else f"{value:f}"
