"""``readings`` and ``compact`` on a store with a few readings."""

import csv
import json
from pathlib import Path

import pytest

from app.cli import main
from tests.pipeline.analyzers.historian import TAGS, Historian

HISTORIAN_TOML = """
kind = "readings"
name = "historian"
signature = ["time", "tag", "value"]
shape = "narrow"
columns = { time = "time", tag = "tag", value = "value" }
time = { zone = "UTC" }
"""
LINES = (
    "time,tag,value\n2026-05-04 20:00:00,TURB,0.1\n2026-05-04 20:01:00,TURB,12\n2026-05-04 20:01:00,RUN,0\n"
    "2026-05-04 20:02:00,TURB,0.4\n2026-05-04 23:00:00,TURB,0.2\n2026-05-04 23:01:00,TURB,0.3\n"
    "2026-05-04 23:01:00,PH,7\n"
)


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store into which one file of readings was loaded by the command."""
    folder = tmp_path_factory.mktemp("readings")
    store = Historian(folder).store
    (store.plant_folder / "layouts").mkdir()
    (store.plant_folder / "layouts" / "historian.toml").write_text(HISTORIAN_TOML)
    (folder / "may.csv").write_text(LINES)
    assert TAGS
    assert main(["load", str(folder / "may.csv"), "--store", str(store.folder), "--json"]) == 3
    return store.folder


def test_every_tag_is_listed_with_its_gaps(store: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["readings", "--store", str(store), "--json"]) == 0
    run, turb = json.loads(capsys.readouterr().out)
    assert (run["Tag"], run["Readings"]) == ("RUN", 1)
    assert turb == {
        "Tag": "TURB", "Sample point": "FIN", "Reads": "Turbidity", "Unit": "NTU", "First": "2026-05-04 13:00",
        "Last": "2026-05-04 16:01", "Readings": 5, "Gaps": 1, "Gaps, hours": "3.0", "Flagged": 0, "Out of range": 1,
        "Out of range, hours": "0.0", "Lowest": "0.1", "Highest": "12",
    }  # fmt: skip


def test_a_day_has_its_exact_mean(store: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["readings", "--tag", "turb", "--store", str(store), "--json"]) == 0
    (day,) = json.loads(capsys.readouterr().out)
    assert (day["Day"], day["Lowest"], day["Mean"], day["Highest"]) == ("2026-05-04", "0.1", "2.6", "12")


def test_each_reading_is_marked_and_leads_to_its_line(store: Path, tmp_path: Path) -> None:
    out = tmp_path / "turb.csv"
    assert main(["readings", "--tag", "TURB", "--each", "--store", str(store), "--out", str(out)]) == 0
    rows = [(row["Value"], row["Mark"], row["Line"]) for row in csv.DictReader(out.open())]
    # Water stood still from 20:01 on, by the run status: what was read then says nothing of the water.
    assert rows == [
        ("0.1", "not evaluated", "2"), ("12", "not evaluated", "3"), ("0.4", "not evaluated", "5"),
        ("0.2", "not evaluated", "6"), ("0.3", "not evaluated", "7"),
    ]  # fmt: skip


def test_held_cells_are_told_with_what_clears_them(store: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["readings", "--held", "--store", str(store)]) == 3
    said = capsys.readouterr().out
    assert "the tag is not in analyzers.csv." in said
    assert "line 8" in said
    assert "1 cells held." in said


def test_held_lists_cells_of_readings_beside_those_of_results(store: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["held", "--store", str(store)]) == 3
    said = capsys.readouterr().out
    assert "PH: the tag is not in analyzers.csv." in said
    assert "1 cells held." in said


def test_an_unknown_tag_is_refused_with_the_nearest(store: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["readings", "--tag", "TURP", "--store", str(store)]) == 1
    assert "Did you mean TURB?" in capsys.readouterr().err


def test_months_are_put_in_order_by_a_command(store: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compact", "--store", str(store)]) == 0
    assert "in order" in capsys.readouterr().out


def test_the_store_proves_its_readings(store: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", "--store", str(store)]) == 0
    assert "the readings that count are those that the loads make" in capsys.readouterr().out


@pytest.mark.parametrize("asked", [[], ["--tag", "TURB"], ["--held"]])
def test_what_is_kept_of_the_present_only_is_not_shown_as_of_a_time(
    asked: list[str], store: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["readings", *asked, "--as-of", "2026-05-01", "--store", str(store)]) == 1
    assert "only readings are kept as of a time" in capsys.readouterr().err
