"""What a right plant folder becomes."""

from collections.abc import Callable
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from pipeline.plant.folder import read_plant
from pipeline.plant.plant import Plant, version_of
from pipeline.plant.starter import starter_files, write_starter
from pipeline.reference import shipped_analytes, shipped_holding_times, shipped_limits

Write = Callable[..., Path]


def test_settings_that_are_not_said_have_their_defaults(plant: Plant) -> None:
    assert plant.name == "Test Plant"
    assert plant.zone.key == "America/Los_Angeles"
    assert plant.near_limit_share == Fraction(4, 5)
    assert plant.jurisdictions == ("United States",)
    assert (plant.holding_time_policy.days, plant.holding_time_policy.months) == ("exact", "calendar")


def test_settings_are_read_as_they_are_said(write_folder: Write) -> None:
    settings = (
        'name = "Test Plant"\ntime_zone = "Europe/Berlin"\nnear_limit_share = 0.75\n'
        'jurisdictions = ["United States", "California"]\nholding_time_days = "calendar"\n'
        'holding_time_months = "180 days"\n[display_units]\n"Nitrate" = "ug/L"\n'
    )
    plant = read_plant(write_folder(**{"plant.toml": settings}))
    assert plant.near_limit_share == Fraction(3, 4)
    assert plant.jurisdictions == ("United States", "California")
    assert (plant.holding_time_policy.days, plant.holding_time_policy.months) == ("calendar", "180 days")
    assert plant.display_units == {"Nitrate": "ug/L"}


def test_sample_points_keep_the_order_in_which_the_water_passes(plant: Plant) -> None:
    assert [(point.sample_point, point.disinfected) for point in plant.sample_points.values()] == [
        ("INF", False),
        ("FIN", True),
    ]


def test_the_sample_log_is_found_by_sample(plant: Plant) -> None:
    assert plant.sample_log["S2"].confirmation_of == "S1"
    assert plant.sample_log["S1"].collected == "2025-03-04 08:15"


def test_two_files_are_enough_and_the_rest_is_shipped_or_empty(write_folder: Write) -> None:
    absent = ("labs.csv", "aliases.csv", "limits.csv", "monitoring_plan.csv", "sample_log.csv")
    plant = read_plant(write_folder(**dict.fromkeys(absent)))
    assert plant.limits == shipped_limits()
    assert plant.holding_times == shipped_holding_times()
    assert tuple(plant.analytes.values()) == shipped_analytes()
    assert (plant.aliases, plant.monitoring_plan, plant.laboratories, plant.sample_log) == ((), (), {}, {})


def test_a_byte_order_mark_and_line_ends_of_another_system_change_nothing(write_folder: Write) -> None:
    points = "\ufeffsample_point,name,place,disinfected\r\nFIN,Finished water,finished water entry point,yes\r\n\r\n"
    absent = ("aliases.csv", "monitoring_plan.csv", "sample_log.csv")
    plant = read_plant(write_folder(**{"sample_points.csv": points, **dict.fromkeys(absent)}))
    assert [*plant.sample_points] == ["FIN"]


def test_a_limit_is_read_with_its_types(write_folder: Write) -> None:
    header = (
        "limit_id,jurisdiction,status,kind,analyte,value,unit,direction,statistic,statistic_parameters,step,"
        "nondetect_rule,applies_at,effective_from,group_members,acute\n"
    )
    row = (
        'own-alpha,plant,in force,internal goal,"Gross alpha, adjusted",15,pCi/L,not above,single value,'
        "combine=weighted sum;member_unit=pCi/L|ug/L,exact,zero,finished water entry point,2020-01-01,"
        "Gross alpha;Uranium*-0.67,yes\n"
    )
    (limit,) = read_plant(write_folder(**{"limits.csv": header + row})).limits
    assert limit.step is None
    assert limit.acute
    assert limit.statistic_parameters == {"combine": "weighted sum", "member_unit": "pCi/L|ug/L"}
    assert [(member.analyte, member.factor) for member in limit.group_members] == [
        ("Gross alpha", 1),
        ("Uranium", Fraction(-67, 100)),
    ]
    assert limit.effective_from == date(2020, 1, 1)


def test_members_of_a_group_are_given_in_order(plant: Plant) -> None:
    assert plant.group_members("Nitrate + nitrite") == ("Nitrate", "Nitrite")
    assert plant.group_members("no such group") == ()


def test_the_version_is_the_same_for_the_same_folder(write_folder: Write) -> None:
    assert read_plant(write_folder()).version == read_plant(write_folder()).version


@pytest.mark.parametrize("file", ["plant.toml", "sample_log.csv", "layouts/lab.toml", "labs.csv"])
def test_the_version_changes_with_any_file_of_the_plant(file: str, write_folder: Write) -> None:
    folder = write_folder()
    before = read_plant(folder)
    path = folder / file
    path.parent.mkdir(exist_ok=True)
    path.write_bytes((path.read_bytes() if path.exists() else b"") + b"\n")
    after = read_plant(folder)
    assert before.version != after.version
    assert after.files()[file] == path.read_bytes()


def test_a_file_that_is_no_part_of_the_plant_leaves_the_version_alone(write_folder: Write) -> None:
    folder = write_folder()
    before = read_plant(folder).version
    (folder / "README.md").write_text("notes", encoding="utf-8")
    assert read_plant(folder).version == before


def test_the_version_covers_the_shipped_tables_in_use(write_folder: Write) -> None:
    files = read_plant(write_folder()).files()
    assert "shipped/units.csv" in files
    assert "shipped/analytes.csv" in files
    assert "shipped/limits.csv" not in files, "the folder has its own limit table"
    assert version_of(files) != version_of(files | {"shipped/units.csv": b""})


def test_the_version_does_not_depend_on_the_order_of_the_files() -> None:
    assert version_of({"a": b"1", "b": b"2"}) == version_of({"b": b"2", "a": b"1"})


def test_the_version_tells_two_files_from_one_that_holds_both() -> None:
    assert version_of({"a": b"1", "b": b"2"}) != version_of({"a": b"1b2"})


def test_a_plant_cannot_be_changed(plant: Plant) -> None:
    with pytest.raises(AttributeError):
        plant.name = "Another"  # type: ignore[misc]


def test_the_starter_folder_is_accepted_as_it_is(tmp_path: Path) -> None:
    write_starter(tmp_path / "new" / "plant")
    plant = read_plant(tmp_path / "new" / "plant")
    assert plant.limits == shipped_limits()
    assert "finished water entry point" in {point.place for point in plant.sample_points.values()}


def test_the_starter_overwrites_nothing(tmp_path: Path) -> None:
    (tmp_path / "labs.csv").write_text("ours", encoding="utf-8")
    with pytest.raises(Exception, match=r"labs\.csv.*exists already") as caught:
        write_starter(tmp_path)
    assert type(caught.value).__name__ == "PlantFolderError"
    assert [path.name for path in tmp_path.iterdir()] == ["labs.csv"]


def test_the_starter_explains_its_settings_and_names_every_table() -> None:
    comments = starter_files()["plant.toml"].decode()
    for file in starter_files():
        assert file == "plant.toml" or file in comments
    assert "screening aid" in comments
