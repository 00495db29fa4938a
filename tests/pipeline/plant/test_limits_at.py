"""Which limits are judged at a point on a day, which are shown, and which a result must be able to prove."""

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from pipeline.plant.folder import read_plant
from pipeline.plant.limits import Standing, applies_at, limits_at, limits_to_prove, standing
from pipeline.plant.plant import Plant
from pipeline.plant.tables import Limit

Write = Callable[..., Path]
TODAY = date(2025, 6, 1)

HEADER = (
    "limit_id,jurisdiction,status,kind,analyte,value,unit,direction,statistic,step,nondetect_rule,applies_at,"
    "effective_from,effective_to\n"
)


def limit_row(limit_id: str, *, jurisdiction: str = "United States", status: str = "in force", value: str = "0.010",
              unit: str = "mg/L", direction: str = "not above", statistic: str = "single value",
              place: str = "finished water entry point", dates: str = ",") -> str:  # fmt: skip
    return (
        f"{limit_id},{jurisdiction},{status},primary,Lead,{value},{unit},{direction},{statistic},exact,zero,"
        f"{place},{dates}\n"
    )


def plant_with(write_folder: Write, *rows: str) -> Plant:
    return read_plant(write_folder(**{"limits.csv": HEADER + "".join(rows)}))


def judged(plant: Plant, point: str = "FIN", on: date = TODAY) -> list[str]:
    return [limit.limit_id for limit in limits_at(plant, point, on).judged]


@pytest.mark.parametrize(
    ("jurisdiction", "expected"),
    [("United States", ["a"]), ("permit", ["a"]), ("plant", ["a"]), ("California", [])],
)
def test_limits_of_the_chosen_jurisdictions_and_the_plants_own_are_judged(
    jurisdiction: str, expected: list[str], write_folder: Write
) -> None:
    assert judged(plant_with(write_folder, limit_row("a", jurisdiction=jurisdiction))) == expected


@pytest.mark.parametrize(
    ("status", "expected"),
    [
        ("in force", Standing.JUDGED),
        ("final, not yet applicable", Standing.JUDGED),
        ("rescission proposed", Standing.JUDGED),
        ("proposed", Standing.PROPOSED),
        ("example", Standing.EXAMPLE),
    ],
)
def test_the_status_decides_whether_a_limit_is_judged(status: str, expected: Standing, write_folder: Write) -> None:
    quoted = f'"{status}"'
    plant = plant_with(write_folder, limit_row("a", status=quoted, dates="2020-01-01,"))
    assert standing(plant, plant.limits[0], TODAY) is expected


@pytest.mark.parametrize(
    ("on", "expected"),
    [
        (date(2024, 12, 31), Standing.COMING),
        (date(2025, 1, 1), Standing.JUDGED),
        (date(2025, 12, 31), Standing.JUDGED),
        (date(2026, 1, 1), Standing.ENDED),
    ],
)
def test_both_dates_of_a_limit_are_inclusive(on: date, expected: Standing, write_folder: Write) -> None:
    plant = plant_with(write_folder, limit_row("a", dates="2025-01-01,2025-12-31"))
    assert standing(plant, plant.limits[0], on) is expected


def test_examples_and_coming_limits_are_shown_and_not_judged(write_folder: Write) -> None:
    plant = plant_with(
        write_folder,
        limit_row("example", status="example", jurisdiction="California"),
        limit_row("coming", dates="2099-01-01,"),
        limit_row("ended", dates=",2001-01-01"),
    )
    here = limits_at(plant, "FIN", TODAY)
    assert here.judged == ()
    assert [(limit.limit_id, how) for limit, how in here.shown] == [
        ("example", Standing.EXAMPLE),
        ("coming", Standing.COMING),
    ]


@pytest.mark.parametrize(
    ("written_for", "place", "expected"),
    [
        ("finished water entry point", "finished water entry point", True),
        ("source or entry point", "finished water entry point", True),
        ("source or entry point", "source", True),
        ("source or entry point", "plant influent", False),
        ("distribution", "finished water entry point", False),
        ("reverse osmosis permeate", "reverse osmosis permeate", True),
    ],
)
def test_a_limit_applies_at_its_place(written_for: str, place: str, expected: bool, plant: Plant) -> None:
    limit = plant.limits[0].model_copy(update={"applies_at": written_for})
    assert applies_at(limit, place) is expected


def test_a_point_that_does_not_exist_is_an_error(plant: Plant) -> None:
    with pytest.raises(KeyError):
        limits_at(plant, "NOWHERE", TODAY)


# 40 CFR 141.62(b)(16) applied from 2006-01-23 on; the arsenic limit of today is judged at the entry point.
def test_the_federal_arsenic_limit_is_judged_from_its_day_on(write_folder: Write) -> None:
    plant = read_plant(write_folder(**{"limits.csv": None}))
    assert "us-primary-arsenic" not in judged(plant, on=date(2006, 1, 22))
    assert "us-primary-arsenic" in judged(plant, on=date(2006, 1, 23))


def test_the_lowest_limit_is_the_one_to_prove(write_folder: Write) -> None:
    plant = plant_with(write_folder, limit_row("high", value="0.015"), limit_row("low", value="5", unit="ug/L"))
    assert limits_to_prove(plant) == [("Lead", "FIN", "low", Decimal("5.000000000000000"), "5 ug/L", None, None)]


def test_a_limit_is_to_be_proved_only_while_it_is_the_lowest(write_folder: Write) -> None:
    plant = plant_with(
        write_folder, limit_row("old", value="0.005", dates=",2024-12-31"), limit_row("new", value="0.010")
    )
    assert [(row[2], row[5], row[6]) for row in limits_to_prove(plant)] == [
        ("old", None, date(2024, 12, 31)),
        ("new", date(2025, 1, 1), None),
    ]


@pytest.mark.parametrize(
    "row",
    [
        limit_row("information", statistic="information only"),
        limit_row("from below", direction="not below"),
        limit_row("zero", value="0"),
        limit_row("example", status="example"),
        limit_row("elsewhere", jurisdiction="California"),
    ],
    ids=lambda row: row.split(",")[0],
)
def test_what_is_not_judged_from_above_need_not_be_proved(row: str, write_folder: Write) -> None:
    assert limits_to_prove(plant_with(write_folder, row)) == []


def test_no_two_limits_to_prove_share_a_day_and_each_day_has_the_lowest(write_folder: Write) -> None:
    plant = plant_with(
        write_folder,
        limit_row("a", value="0.010", dates="2020-01-01,2022-06-30"),
        limit_row("b", value="0.005", dates="2021-01-01,2021-12-31"),
        limit_row("c", value="0.020"),
        limit_row("d", value="0.001", dates="2023-01-01,"),
    )
    rows = limits_to_prove(plant)
    for days in range(0, 365 * 6, 5):
        on = date(2019, 1, 1) + timedelta(days=days)
        found = [row[2] for row in rows if (row[5] or date.min) <= on <= (row[6] or date.max)]
        in_force: list[Limit] = [limit for limit in plant.limits if standing(plant, limit, on) is Standing.JUDGED]
        assert found == [min(in_force, key=lambda limit: limit.value or Decimal(0)).limit_id]
