"""The counting in SQL is that of ``pipeline.holding_times``, cell by cell; and what holds only for a whole cell."""

import random
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from checks.holding_times import stage_holding_times
from checks.scratch import prepare
from pipeline.holding_times import HoldingResult, Kept, Moment, SampleTimes, choose_rules, judge
from pipeline.reference import shipped_holding_times

ZONE = ZoneInfo("America/Los_Angeles")
TABLE = shipped_holding_times()
SUBJECTS = [
    ("Nitrate", "EPA 300.0"),
    ("Arsenic", "EPA 200.8"),
    ("PFOA", "EPA 533"),
    ("PFOA", "EPA 537.1"),
    ("E. coli", "SM 9223 B"),
    ("Asbestos", "EPA 100.2"),
    ("Cryptosporidium", "EPA 1623.1"),
    ("pH", "SM 4500-H+ B"),
]
# Around both clock changes, the end of a long month, and a whole number of the limits in the table.
STARTS = [
    datetime.fromisoformat(text)
    for text in ("2026-03-07 12:00", "2026-10-31 12:00", "2026-08-31 23:30", "2027-08-30 00:00")
]
WAITS = [timedelta(hours=h) for h in (0, 8, 24, 30, 47, 48, 49, 96)] + [
    timedelta(days=d) for d in (7, 14, 15, 27, 28, 29, 180, 181, 182, 184, 185, 400)
]


def step(name: str, local: datetime | None, known_time: bool) -> dict[str, Any]:
    """The columns of one step: a time, a date alone, or nothing."""
    if local is None:
        return {f"{name}_at": None, f"{name}_on": None, f"{name}_text": ""}
    instant = local.replace(tzinfo=ZONE).astimezone(UTC) if known_time else None
    return {f"{name}_at": instant, f"{name}_on": local.date(), f"{name}_text": local.isoformat()}


def moment(cell: dict[str, Any], name: str) -> Moment | None:
    instant, day = cell[f"{name}_at"], cell[f"{name}_on"]
    if instant is not None:
        return Moment.at(instant, ZONE)
    return Moment.on(day, ZONE) if day else None


def sampled_cells(seed: int, count: int) -> list[dict[str, Any]]:
    chance = random.Random(seed)
    cells = []
    for _ in range(count):
        analyte, method = chance.choice(SUBJECTS)
        collected = chance.choice(STARTS)
        slip = timedelta(minutes=chance.choice([-1, 0, 1]))
        extracted = chance.choice([None, collected + chance.choice(WAITS) + slip])
        analyzed = chance.choice([None, *[(extracted or collected) + chance.choice(WAITS) for _ in range(4)]])
        times = {"collected": collected, "filtered": None, "extracted": extracted, "analyzed": analyzed}
        cell: dict[str, Any] = {"analyte": analyte, "method_text": method, "fraction": ""}
        for name, local in times.items():
            cell |= step(name, local, known_time=chance.random() < 0.7)
        cells.append(cell)
    return cells


def by_the_calculation(plant: Any, cell_id: int, cell: dict[str, Any]) -> set[tuple[Any, ...]]:
    """What the pure calculation says of a cell at a disinfected point, in the columns of the staged table."""
    times = SampleTimes(*(moment(cell, name) for name in ("collected", "filtered", "extracted", "analyzed")))
    rules = choose_rules(TABLE, cell["analyte"], cell["method_text"], disinfected=True).rules
    # Filtration is asked for where the fraction has no meaning (asbestos), or is the dissolved one.
    applied = [rule for rule in rules if rule.stage != "collection->filtration" or cell["analyte"] == "Asbestos"]
    results = [judge(rule, times, plant.holding_time_policy) for rule in applied]
    return {(cell_id, *staged(result)) for result in results if result.kept is not Kept.IN_TIME}


def staged(result: HoldingResult) -> tuple[Any, ...]:
    hours = (result.low_hours, result.high_hours)
    microseconds = [None if value is None else int(value * 3_600_000_000) for value in hours]
    return (result.rule.holding_time_id, *microseconds, result.kept.value)


@pytest.mark.parametrize("policy", [{}, {"days": "calendar"}, {"months": "180 days"}])
def test_the_statement_counts_as_the_calculation_does(new_load, plant_with, policy):
    load = new_load(plant_with(TABLE, **policy))
    cells = sampled_cells(seed=11, count=400)
    for cell in cells:
        load.add(**cell)
    prepare(load.connection, load.plant, None)
    stage_holding_times(load.connection, load.plant)
    found = load.connection.execute(
        "SELECT cell_id, holding_time_id, low_microseconds, high_microseconds, kept FROM staged_holding_time"
    ).fetchall()
    expected = [by_the_calculation(load.plant, cell_id, cell) for cell_id, cell in enumerate(cells)]
    assert set(found) == set().union(*expected)
    assert len(found) == len(set(found)) > 100


@pytest.fixture
def late(new_load, plant_with):
    """The rules broken by one cell at a plant with the shipped holding times."""

    def rules(**changes: Any) -> set[str]:
        load = new_load(plant_with(TABLE))
        load.add(**changes)
        load.check()
        return {rule_id for _, rule_id in load.findings()}

    return rules


# 40 CFR 136.3 Table II footnote 7: a sample for dissolved metals is filtered within 15 minutes.
@pytest.mark.parametrize(("fraction", "expected"), [("total", set()), ("dissolved", {"filtered_late"})])
def test_only_the_dissolved_fraction_has_to_be_filtered_at_once(late, fraction, expected):
    filtered = step("filtered", datetime.fromisoformat("2026-05-04 09:00"), known_time=True)
    assert late(fraction=fraction, **filtered) == expected


def test_a_late_result_says_how_long_it_waited(new_load, plant_with):
    load = new_load(plant_with(TABLE))
    load.add(
        analyte="Nitrate", method_text="EPA 300.0", sample_point="RO-1", fraction="", cas_text="",
        **step("analyzed", datetime.fromisoformat("2026-05-06 08:16"), known_time=True),
    )  # fmt: skip
    load.check()
    assert load.said("analyzed_late") == (
        "Analyzed 48 h 1 min after collection; Nitrate may wait 48 h (sdwa-nitrate-unchlorinated)."
    )


# EPA 533 section 8 [from memory]: at most 10 degrees Celsius in the first 48 hours, then 6.
@pytest.mark.parametrize(("received", "expected"), [("2026-05-06", set()), ("2026-05-07", {"received_warm"})])
def test_a_sample_may_arrive_warmer_within_48_hours(late, received, expected):
    about = {"analyte": "PFOA", "method_text": "EPA 533", "cas_text": "", "fraction": ""}
    arrival = step("received", datetime.fromisoformat(f"{received} 08:00"), known_time=True)
    assert late(**about, **arrival, receipt_temperature_text="8", receipt_temperature_c=8) == expected


def test_a_field_reading_has_no_holding_time(late):
    assert late(analyte="pH", method_text="SM 4500-H+ B", cas_text="", sample_type="field measurement") == set()
