"""The analyzers tell of the same water as the laboratory, with the troubles that analyzers have.

Ranges are common practice, no source, unless a test names one.
"""

from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from statistics import median

import polars as pl
import pytest

from sample_lab.generator.readings.clock import Span, minute_of, on_the_wall
from sample_lab.generator.readings.frame import readings
from sample_lab.generator.readings.historian import write_narrow, write_wide
from sample_lab.generator.readings.tags import STATUS_SUFFIX, Tag, chosen_tags, tags
from sample_lab.generator.readings.troubles import troubles

SEED = 20241101
THREE_YEARS = Span(date(2023, 11, 1), date(2026, 10, 31), 60)

Numbers = Callable[[str, str], dict[date, Decimal]]


@pytest.fixture(scope="module")
def hourly() -> pl.DataFrame:
    """Three years of every tag, on the hour."""
    return readings(SEED, THREE_YEARS, tags())


@pytest.fixture(scope="module")
def by_day(hourly: pl.DataFrame) -> pl.DataFrame:
    """The middle reading of each day, on the plant's wall clock."""
    days = on_the_wall(hourly["minute"]).dt.date().alias("day")
    return hourly.with_columns(days).group_by("day").agg(pl.col([tag.tag for tag in tags()]).median()).sort("day")


def _on(by_day: pl.DataFrame, tag: str, day: str) -> float:
    (value,) = by_day.filter(pl.col("day") == date.fromisoformat(day))[tag]
    return float(value)


def _between(by_day: pl.DataFrame, tag: str, first: str, last: str) -> float:
    chosen = by_day.filter(pl.col("day").is_between(date.fromisoformat(first), date.fromisoformat(last)))
    return float(median(chosen[tag].drop_nulls()))


def test_the_same_seed_makes_the_same_readings(hourly: pl.DataFrame) -> None:
    assert readings(SEED, THREE_YEARS, tags()).equals(hourly)


def test_another_seed_makes_others() -> None:
    span = Span(date(2025, 5, 1), date(2025, 5, 2), 15)
    assert not readings(7, span, tags()).equals(readings(SEED, span, tags()))


@pytest.mark.parametrize("tag", tags(), ids=lambda tag: tag.tag)
def test_a_reading_does_not_depend_on_what_else_is_asked_for(tag: Tag, hourly: pl.DataFrame) -> None:
    span = Span(date(2026, 3, 7), date(2026, 3, 9), 15)
    alone = readings(SEED, span, (tag,))
    both = alone.join(hourly, on="minute", suffix="_hourly")
    assert both.height == 71
    assert both[tag.tag].equals(both[tag.tag + "_hourly"], check_names=False)


@pytest.mark.parametrize(
    ("tag", "analyte", "point", "factor", "within"),
    [
        ("AIT-5001", "Specific Conductance", "UF Filtrate (comb.)", 1, 0.06),
        ("AIT-5101", "Specific Conductance", "RO-A Permeate", 1, 0.10),
        ("AIT-5201", "Specific Conductance", "RO-B Permeate", 1, 0.10),
        ("AIT-5102", "Total Organic Carbon", "RO-A Permeate", 1000, 0.35),
        ("TIT-7103", "Temp, field", "Clearwell Outlet", 1, 0.06),
    ],
)
def test_analyzer_and_laboratory_agree(
    tag: str, analyte: str, point: str, factor: int, within: float, numbers: Numbers, by_day: pl.DataFrame
) -> None:
    laboratory = numbers(analyte, point)
    shares = [
        float(by_day.filter(pl.col("day") == day)[tag][0]) / (float(value) * factor)
        for day, value in laboratory.items()
    ]
    assert len(shares) > 60
    assert abs(median(shares) - 1) < 0.02
    assert sorted(abs(share - 1) for share in shares)[int(len(shares) * 0.95)] < within


def test_a_leaking_rack_reads_above_the_level_for_an_integrity_test(by_day: pl.DataFrame) -> None:
    # 40 CFR 141.719(b)(4)(iii): above 0.15 NTU for 15 minutes a direct integrity test of the unit is due.
    assert _on(by_day, "AIT-4201", "2026-03-09") > 0.15
    assert _on(by_day, "AIT-4101", "2026-03-09") < 0.10
    assert _on(by_day, "AIT-4201", "2026-03-13") < 0.10


def test_the_solvent_shows_in_the_permeates_organic_carbon(by_day: pl.DataFrame) -> None:
    assert _on(by_day, "AIT-5102", "2026-06-17") > 4 * _between(by_day, "AIT-5102", "2026-04-01", "2026-05-31")


def test_membranes_age(by_day: pl.DataFrame) -> None:
    # The same months of two years, so that temperature plays no part.
    passage = [
        _between(by_day, "AIT-5101", f"{year}-07-01", f"{year}-08-31")
        / _between(by_day, "AIT-5001", f"{year}-07-01", f"{year}-08-31")
        for year in (2024, 2026)
    ]
    assert 1.1 < passage[1] / passage[0] < 1.4
    pressure = [_between(by_day, "PIT-5103", f"{year}-07-01", f"{year}-08-31") for year in (2024, 2026)]
    assert pressure[1] > pressure[0] * 1.05


def test_new_membranes_need_less_pressure_and_let_less_through(by_day: pl.DataFrame) -> None:
    for tag in ("PIT-5203", "AIT-5201"):
        before = _between(by_day, tag, "2025-10-15", "2025-11-09")
        assert _between(by_day, tag, "2025-11-20", "2025-12-15") < 0.97 * before


def test_the_ultraviolet_dose_falls_when_a_lamp_bank_fails(by_day: pl.DataFrame) -> None:
    assert _on(by_day, "UIT-6102", "2026-10-13") < 0.7 * _on(by_day, "UIT-6102", "2026-10-20")


def test_a_standing_train_makes_no_water(hourly: pl.DataFrame) -> None:
    stands = hourly.filter(pl.col("XS-5200") == 0)
    assert stands.height == 128
    assert set(stands["FIT-5204"]) == {0.0}


def test_what_enters_leaves(by_day: pl.DataFrame) -> None:
    running = by_day.filter(pl.col("XS-5200") == 1)
    recovery = running["FIT-7105"] / (running["FIT-7105"] + running["FIT-5301"])
    assert abs(float(median(recovery)) - 0.85) < 0.01


def test_every_trouble_stands_in_the_readings() -> None:
    for trouble in troubles():
        (tag,) = chosen_tags(trouble.tag)
        span = Span(trouble.start.date(), trouble.end.date(), 15)
        table = readings(SEED, span, (tag,))
        first, end = trouble.minutes
        during = table.filter((pl.col("minute") >= first) & (pl.col("minute") < end))[tag.tag]
        assert STANDS_THERE[trouble.kind](during, trouble.value), trouble


STANDS_THERE: dict[str, Callable[[pl.Series, str], bool]] = {
    "gap": lambda during, _: during.null_count() == len(during) > 0,
    "frozen": lambda during, _: during.n_unique() == 1 and len(during) > 10,
    "spike": lambda during, value: during.to_list() == [float(value)],
    "out of range": lambda during, value: set(during) == {float(value)},
    "twice": lambda during, _: len(during) > 1,
    "twice with another value": lambda during, _: len(during) > 1,
    "text": lambda during, _: len(during) > 1,
}


def test_calibrations_are_told_by_the_status(hourly: pl.DataFrame) -> None:
    calibrating = hourly.filter(pl.col("AIT-7101" + STATUS_SUFFIX) == "CAL")
    assert calibrating.height == 36 * 2  # at nine and at ten, once a month
    assert set(calibrating["AIT-7101"]) <= {1.0, 7.5}


def test_a_wide_file_has_an_hour_twice_in_autumn_and_none_in_spring(tmp_path: Path) -> None:
    path = tmp_path / "wide.csv"
    count = write_wide(path, SEED, Span(date(2025, 11, 2), date(2025, 11, 2), 15), chosen_tags("AIT-7101"))
    times = [line.partition(",")[0] for line in path.read_text().splitlines()[1:]]
    assert count == len(times) == 100
    assert times.count("11/02/2025 01:30") == 2
    write_wide(path, SEED, Span(date(2026, 3, 8), date(2026, 3, 8), 15), chosen_tags("AIT-7101"))
    assert not any("03/08/2026 02:" in line for line in path.read_text().splitlines())


def test_a_narrow_file_holds_what_came_twice(tmp_path: Path) -> None:
    path = tmp_path / "narrow.csv"
    tag: tuple[Tag, ...] = chosen_tags("AIT-4301")
    write_narrow(path, SEED, Span(date(2026, 3, 12), date(2026, 3, 12), 15), tag)
    lines = path.read_text().splitlines()
    at_seven = [line for line in lines if ";2026-03-12T07:15:00Z;" in line]
    assert [line.split(";")[2] for line in at_seven] == [at_seven[0].split(";")[2], "0.052"]
    assert lines[0] == "Tag;Time;Value;Quality"


def test_the_wall_clock_is_the_plants() -> None:
    # Summer time of 2026 began on 8 March at 02:00 (15 USC 260a).
    before = datetime.fromisoformat("2026-03-08 01:59")
    after = datetime.fromisoformat("2026-03-08 03:00")
    assert minute_of(after) - minute_of(before) == 1
