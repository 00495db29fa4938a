"""The floors: who may import whom, where the outside world is touched, and names that would hide others."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest
from importlinter.cli import lint_imports

ROOT = Path(__file__).resolve().parents[1]
PACKAGES = ("pipeline", "checks", "app", "sample_lab")
TOP_LEVEL = {*PACKAGES, "tests", "docs", "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"}
MADE_BY_TOOLS = {"build", "dist", "barrierbook-demo", "__pycache__"}

NEVER_IMPORTED = {
    "pipeline": {"checks", "app", "sample_lab"},
    "checks": {"app", "sample_lab"},
    "sample_lab": {"pipeline", "checks", "app"},
    # What calculates: values in, values out.
    "pipeline/screening": {"duckdb", "pyarrow", "polars", "streamlit", "os", "subprocess", "sqlalchemy"},
    # The commands work without starting the dashboard's server.
    "app/commands": {"streamlit", "altair", "great_expectations"},
}


def _files(part: str) -> list[Path]:
    return sorted((ROOT / part).rglob("*.py"))


def _imports(file: Path) -> Iterator[str]:
    """Every imported module, those inside functions too."""
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{file}: relative imports hide which floor is meant"
            yield str(node.module)


def _calls(file: Path) -> set[str]:
    """Every call that is written with dots, as text."""
    tree = ast.parse(file.read_text("utf-8"))
    return {ast.unparse(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)}


def _files_that_call(*names: str) -> set[str]:
    return {
        str(file.relative_to(ROOT)) for package in PACKAGES for file in _files(package) if _calls(file) & set(names)
    }


def _files_that_import(name: str) -> set[str]:
    return {
        str(file.relative_to(ROOT))
        for package in PACKAGES
        for file in _files(package)
        if any(module.split(".")[0] == name for module in _imports(file))
    }


@pytest.mark.parametrize("part", NEVER_IMPORTED)
def test_imports_go_down_the_floors(part: str) -> None:
    assert _files(part), f"{part} is gone: correct this test"
    upward = [
        f"{file.relative_to(ROOT)} imports {module}"
        for file in _files(part)
        for module in _imports(file)
        if module.split(".")[0] in NEVER_IMPORTED[part]
    ]
    assert upward == []


def test_screening_knows_neither_store_nor_files() -> None:
    known = {module for file in _files("pipeline/screening") for module in _imports(file)}
    assert not {module for module in known if module.startswith(("pipeline.store", "pipeline.ingest", "pipeline.load"))}


def test_one_place_opens_the_store_and_three_a_scratch_database() -> None:
    scratch = {"pipeline/load.py", "pipeline/ingest/scratch.py", "pipeline/store/readings_workroom.py"}
    assert _files_that_call("duckdb.connect") == {"pipeline/store/connection.py", *scratch}


def test_one_place_asks_the_machine_for_the_time() -> None:
    clocks = _files_that_call("datetime.now", "datetime.utcnow", "datetime.today", "date.today", "time.time")
    assert clocks == {"app/book.py"}


def test_only_the_checks_know_great_expectations() -> None:
    assert {name.split("/")[0] for name in _files_that_import("great_expectations")} == {"checks"}


def test_only_the_dashboard_knows_streamlit() -> None:
    found = {name for name in _files_that_import("streamlit") if not name.startswith("app/dashboard/")}
    assert found == set()


def test_no_file_of_the_dashboard_hides_another_module() -> None:
    # Streamlit puts the entry file's folder first on the import path: app/dashboard/statistics.py would take the place
    # of the standard library's statistics everywhere.
    taken = set(sys.stdlib_module_names) | set(packages_distributions()) | set(PACKAGES) | {"tests"}
    beside_entry = {path.stem for path in (ROOT / "app" / "dashboard").iterdir() if path.stem != "__init__"}
    assert beside_entry & taken == set()


def test_no_folder_named_pages() -> None:
    # Streamlit takes a folder of that name for its own navigation.
    assert [path for path in (ROOT / "app").rglob("pages") if path.is_dir()] == []


def test_test_files_have_names_of_their_own_and_no_packages() -> None:
    files = [path.name for path in (ROOT / "tests").rglob("test_*.py")]
    assert len(files) == len(set(files))
    assert list((ROOT / "tests").rglob("__init__.py")) == []


def test_the_top_holds_what_it_should_and_nothing_else() -> None:
    assert {name for name in _top_level_names() if not name.startswith(".")} == TOP_LEVEL


def _top_level_names() -> set[str]:
    """What is under version control; in a copy without it, what is there and no tool has made."""
    if (ROOT / ".git").exists():
        listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
        return {path.partition("/")[0] for path in listed.split("\0") if path}
    made = {path.name for path in ROOT.iterdir() if path.name in MADE_BY_TOOLS or path.suffix == ".egg-info"}
    return {path.name for path in ROOT.iterdir()} - made


def test_the_contracts_of_pyproject_are_kept(capsys: pytest.CaptureFixture[str]) -> None:
    # They follow imports through other modules, which the tests above do not.
    status = lint_imports(config_filename=str(ROOT / "pyproject.toml"), no_cache=True)
    assert status == 0, capsys.readouterr().out
