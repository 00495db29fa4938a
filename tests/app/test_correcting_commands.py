"""``withdraw``, ``decide``, ``retry --all`` and ``--as-of`` on the command line: shown first, done with ``--yes``."""

import json
import shutil
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from app.cli import main
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.ingest.source import decode_source
from pipeline.load import Occasion, load_file
from pipeline.plant.folder import read_plant
from pipeline.store.connection import Store
from tests.narrow_files import PLANT_TOML, SAMPLE_POINTS, narrow_file

Run = Callable[..., tuple[int, str]]


@pytest.fixture(scope="module")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with nitrate above its limit, loaded two days ago, and a contradiction of it that is held since."""
    store = Store(tmp_path_factory.mktemp("loaded") / "book")
    store.plant_folder.mkdir(parents=True)
    (store.plant_folder / "plant.toml").write_text(PLANT_TOML + "demonstration_date = 2026-06-01\n")
    (store.plant_folder / "sample_points.csv").write_text(SAMPLE_POINTS)
    store.create()
    plant, start = read_plant(store.plant_folder), datetime.now(UTC) - timedelta(days=2)
    for number, value in enumerate(("15", "2.1")):
        source = decode_source(f"{value}.csv", narrow_file({"value": value}))
        occasion = Occasion(start + timedelta(days=number), "Kim")
        load_file(store, plant, source, list(shipped_layouts().values()), lambda *_, **__: None, occasion)
    return store.folder


@pytest.fixture
def run(loaded: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run one command on a copy of that store; answers its exit code and what it printed."""
    monkeypatch.setenv("BARRIERBOOK_STORE", shutil.copytree(loaded, tmp_path / "book").as_posix())

    def runner(*arguments: object) -> tuple[int, str]:
        capsys.readouterr()
        code = main([str(argument) for argument in arguments])
        return code, capsys.readouterr().out

    return runner


def test_a_withdrawal_is_shown_first_and_done_with_yes(run: Run) -> None:
    code, said = run("withdraw", 1, "--reason", "another plant's file")
    assert code == 3
    assert "no longer counts" in said
    assert "repeat the command with --yes" in said
    code, said = run("withdraw", 1, "--reason", "another plant's file", "--yes")
    assert (code, "Load 1 is withdrawn." in said) == (0, True)
    assert run("withdraw", 1, "--reason", "twice")[0] == 1


def test_a_decision_shows_its_effect_and_is_listed(run: Run) -> None:
    choice = ("decide", "accept", "--load", 2, "--line", 2, "--reason", "asked by telephone", "--json")
    code, said = run(*choice)
    assert code == 3
    after = {one["limit"]: one["after"]["outcome"] for one in json.loads(said)["verdicts"]}
    assert after["us-primary-nitrate"] == "exceeds, rejection claimed"
    assert run(*choice, "--yes")[0] == 0
    listed = json.loads(run("decide", "--json")[1])
    assert {(row["action"], row["standing"]) for row in listed} == {("accept", "in effect"), ("reject", "in effect")}
    assert "exceeds, rejection claimed" in run("screen", "--limit", "us-primary-nitrate")[1]


def test_screen_tells_what_was_known_and_what_changed_since(run: Run) -> None:
    assert run("withdraw", 1, "--reason", "another plant's file", "--yes")[0] == 0
    then = (datetime.now(UTC) - timedelta(days=1, hours=12)).isoformat(timespec="minutes")
    said = json.loads(run("screen", "--limit", "us-primary-nitrate", "--as-of", then, "--json")[1])
    assert [verdict["outcome"] for verdict in said["verdicts"]] == ["exceeds"]
    (changed,) = said["changed_since"]
    assert changed["after"]["outcome"] == "cannot determine"
    assert [reason["kind"] for reason in changed["why"]] == ["load", "withdrawal"]


def test_results_and_held_cells_are_exported_as_they_were_known(run: Run) -> None:
    then = (datetime.now(UTC) - timedelta(days=1, hours=12)).isoformat(timespec="minutes")
    assert run("withdraw", 1, "--reason", "another plant's file", "--yes")[0] == 0
    assert [row["value_text"] for row in json.loads(run("export", "results", "--as-of", then, "--json")[1])] == ["15"]
    assert run("held", "--as-of", then)[0] == 0
    assert run("held")[0] == 3


@pytest.mark.parametrize(
    "command",
    [
        ("retry", "--all"),
        ("decide", "reject", "--reason", "why"),
        ("decide", "reject", "--result", 1),
        ("decide", "choose", "--load", 2, "--line", 2, "--reason", "why"),
        ("withdraw", 1),
        ("screen", "--as-of", "yesterday"),
        ("screen", "--as-of", "1999-12-31"),
    ],
)
def test_what_is_not_said_is_asked_for(run: Run, command: tuple[object, ...]) -> None:
    assert run(*command)[0] == 1


def test_reading_all_cells_again_changes_nothing_where_nothing_has_changed(run: Run) -> None:
    code, said = run("retry", "--all", "--load", 1, "--json")
    assert code == 3
    assert json.loads(said)["verdicts"] == []
