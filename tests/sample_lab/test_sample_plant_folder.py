"""The plant folder is complete, current, and understood by the product."""

import csv
import re
import tomllib
from datetime import date, timedelta
from importlib import resources
from pathlib import Path

import pytest

from pipeline.plant.plant import Plant
from sample_lab import copy_plant_folder
from sample_lab.generator.points import Point
from sample_lab.generator.tables import schedule
from sample_lab.make_tables import derived_tables

SAMPLE_LAB = resources.files("sample_lab")


def _rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(SAMPLE_LAB.joinpath("plant", name).read_text("utf-8").splitlines()))


@pytest.mark.parametrize("name", derived_tables())
def test_derived_table_is_current(name: str) -> None:
    assert SAMPLE_LAB.joinpath(name).read_text("utf-8") == derived_tables()[name]


def test_copied_folder_holds_every_file(tmp_path: Path) -> None:
    copy_plant_folder(tmp_path / "plant")
    names = {path.name for path in (tmp_path / "plant").iterdir()}
    assert names == {
        "plant.toml", "sample_points.csv", "aliases.csv", "limits.csv", "labs.csv", "monitoring_plan.csv",
        "sample_log.csv", "analyzers.csv", "layouts",
    }  # fmt: skip


def test_copying_leaves_the_plants_own_files_alone(tmp_path: Path) -> None:
    (tmp_path / "layouts").mkdir()
    (tmp_path / "layouts" / "own.toml").write_text("kept")
    copy_plant_folder(tmp_path)
    assert (tmp_path / "layouts" / "own.toml").read_text() == "kept"


def test_twelve_points_in_the_order_of_the_water() -> None:
    points = _rows("sample_points.csv")
    assert [point["sample_point"] for point in points] == list(Point)
    assert [point["barrier_before"] for point in points][:2] == ["", "ozonation"]
    assert [point["sample_point"] for point in points if point["disinfected"] == "yes"] == ["FIN"]


def test_each_barrier_after_a_point_is_sampled_behind_it() -> None:
    points = _rows("sample_points.csv")
    behind = {re.sub(r" (train [AB]|rack [123])$", "", point["barrier_before"]) for point in points}
    assert {point["barrier_after"] for point in points if point["barrier_after"]} <= behind


def test_every_united_states_limit_is_judged_as_shipped() -> None:
    shipped = csv.DictReader(
        resources.files("pipeline.reference").joinpath("limits.csv").read_text("utf-8").splitlines()
    )
    expected = [row for row in shipped if row["jurisdiction"] == "United States"]
    assert [row for row in _rows("limits.csv") if row["jurisdiction"] == "United States"] == expected


def test_the_plants_own_limits_are_invented_and_say_so() -> None:
    own = [row for row in _rows("limits.csv") if row["jurisdiction"] == "permit"]
    assert len(own) >= 8
    assert all(row["limit_id"].startswith("quillmere-") and row["status"] == "in force" for row in own)
    assert all("sample plant" in row["source"] for row in own)


def test_the_jurisdictions_of_the_limits_are_chosen() -> None:
    settings = tomllib.loads(SAMPLE_LAB.joinpath("plant", "plant.toml").read_text("utf-8"))
    assert settings["jurisdictions"] == ["United States", "permit"]
    assert settings["time_zone"] == "America/Los_Angeles"


def test_the_plan_covers_the_schedule() -> None:
    plan = {(row["sample_point"], row["analyte"]): row["frequency"] for row in _rows("monitoring_plan.csv")}
    first_laboratory = {(row.point, row.analyte): row.frequency for row in schedule()}
    assert first_laboratory.items() <= plan.items()
    assert len({analyte for _, analyte in plan}) == 127
    assert {point for point, _ in plan} == set(Point)


def test_field_readings_changed_hands_without_a_gap() -> None:
    rows = [row for row in _rows("monitoring_plan.csv") if (row["sample_point"], row["analyte"]) == ("FIN", "pH")]
    first, second = rows
    assert first["laboratory"] != second["laboratory"]
    assert date.fromisoformat(second["effective_from"]) - date.fromisoformat(first["effective_to"]) == timedelta(days=1)


def test_every_laboratory_of_the_plan_is_known() -> None:
    known = {row["laboratory"] for row in _rows("labs.csv")}
    assert {row["laboratory"] for row in _rows("monitoring_plan.csv")} == known


def test_confirmations_are_logged_with_what_they_confirm() -> None:
    log = _rows("sample_log.csv")
    samples = {row["sample"] for row in log}
    confirmations = [row for row in log if row["purpose"] == "confirmation"]
    assert len(confirmations) == 2
    assert all(row["confirmation_of"] in samples for row in confirmations)


def test_one_logged_sample_is_still_owed() -> None:
    (owed,) = [row for row in _rows("sample_log.csv") if row["sample_point"] != "FIN"]
    assert owed["sample"] == "Q261030-UFF-S"


def test_the_product_reads_the_folder(sample_plant: Plant) -> None:
    assert sample_plant.name == "Quillmere Advanced Water Purification Plant"
    assert len(sample_plant.sample_points) == 12
    assert any(limit.limit_id == "quillmere-permit-ndma" for limit in sample_plant.limits)
