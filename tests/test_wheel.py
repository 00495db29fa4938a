"""The wheel: every data file is in it, and nothing that is tracked names a registry or a machine."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = ("pipeline", "checks", "app", "sample_lab")


def test_every_data_file_is_in_the_wheel(tmp_path: Path) -> None:
    if not (ROOT / ".git").exists():
        pytest.skip("not a checkout: there is nothing to build the wheel from")
    subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", str(tmp_path), str(ROOT)],
        check=True,
        capture_output=True,
    )
    (wheel,) = tmp_path.glob("barrierbook-*.whl")
    with zipfile.ZipFile(wheel) as archive:
        shipped = set(archive.namelist())
    tracked = subprocess.run(
        ["git", "ls-files", "-z", "--", *PACKAGES], cwd=ROOT, check=True, capture_output=True, text=True
    ).stdout.split("\0")
    missing = {name for name in tracked if name and (ROOT / name).exists()} - shipped
    assert {name for name in missing if not name.endswith(".gitkeep")} == set()


def test_nothing_tracked_names_a_registry_or_a_machine() -> None:
    found = subprocess.run(
        ["git", "grep", "-nIE", r"https?://[^ \"]+/(simple|packages)/|/(root|home)/[a-z]", "--", "."],
        cwd=ROOT, check=False, capture_output=True, text=True,
    ).stdout  # fmt: skip
    assert [line for line in found.splitlines() if not line.startswith("tests/test_wheel.py")] == []
