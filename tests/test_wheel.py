"""The wheel: every data file is in it and nothing else, and nothing tracked names a registry or a machine."""

import subprocess
import zipfile
from pathlib import Path

import pytest
from hatchling.builders.wheel import WheelBuilder

ROOT = Path(__file__).resolve().parents[1]
PACKAGES = ("pipeline", "checks", "app", "sample_lab")
# A folder of a machine at the start of a path, a package index, or an option that names one.
REGISTRY_OR_MACHINE = (
    r"(^|[^A-Za-z0-9_.])/(root|home|work|opt|tmp|Users)/[A-Za-z]|[A-Z]:\\Users|index-url|find-links|pythonhosted|"
    r"pypi\.|/simple/"
)


def _git(*arguments: str) -> list[str]:
    if not (ROOT / ".git").exists():
        pytest.skip("not a checkout: nothing says which files belong to it")
    # Git ends with 1 when a search finds nothing.
    done = subprocess.run(["git", *arguments], cwd=ROOT, check=False, capture_output=True, text=True)
    assert done.returncode in (0, 1), done.stderr
    return done.stdout.splitlines()


@pytest.fixture(scope="module")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> set[str]:
    """Names of the files in a wheel of this checkout; built here, so that no package index is asked."""
    (wheel,) = WheelBuilder(str(ROOT)).build(directory=str(tmp_path_factory.mktemp("wheel")), versions=["standard"])
    with zipfile.ZipFile(wheel) as archive:
        return set(archive.namelist())


def test_every_file_of_the_packages_is_in_the_wheel(shipped: set[str]) -> None:
    tracked = {name for name in _git("ls-files", "--", *PACKAGES) if (ROOT / name).exists()}
    assert {name for name in tracked - shipped if not name.endswith(".gitkeep")} == set()


@pytest.mark.parametrize(
    "name",
    [
        "app/dashboard/.streamlit/config.toml",
        "app/dashboard/views/today.py",
        "app/dashboard/assets/mark.svg",
        "checks/suites/timely.json",
        "pipeline/ingest/layouts/narrow.toml",
        "pipeline/reference/limits.csv",
        "pipeline/store/schema/001_first_tables.sql",
        "sample_lab/plant/plant.toml",
    ],
)
def test_one_data_file_of_each_kind_is_in_the_wheel(shipped: set[str], name: str) -> None:
    assert name in shipped


def test_nothing_but_the_packages_is_in_the_wheel(shipped: set[str]) -> None:
    beginnings = {name.split("/")[0] for name in shipped}
    assert {name for name in beginnings - set(PACKAGES) if not name.startswith("barrierbook-")} == set()
    assert [name for name in shipped if name.endswith(".pyc")] == []


def test_nothing_tracked_names_a_registry_or_a_machine() -> None:
    assert _git("grep", "-nIE", REGISTRY_OR_MACHINE, "--", ".", ":!tests/test_wheel.py") == []
