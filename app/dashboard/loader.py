"""Running the loader for a page: always as a process of its own, because an open reading here would bar its writing."""

import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Final

LONGEST_LOAD_SECONDS: Final = 1800
DONE: Final = frozenset({0, 3})


@dataclass(frozen=True, slots=True)
class Finished:
    """How a run of the loader ended: whether the work was done, and what it said for a person."""

    done: bool
    said: str


def load(name: str, content: bytes, store: Path) -> Finished:
    """Load one delivered file under the name it was delivered with."""
    with tempfile.TemporaryDirectory(prefix="barrierbook-") as folder:
        delivered = Path(folder) / file_name(name)
        delivered.write_bytes(content)
        return _run("load", str(delivered), "--store", str(store))


def retry(load_id: int, store: Path) -> Finished:
    """Read the held cells of one load again from the archive, with the plant folder as it is now."""
    return _run("retry", "--load", str(load_id), "--store", str(store))


def file_name(name: str) -> str:
    """The last part of a file name, whatever system it was written on; never empty, never a way out of a folder.

    >>> file_name("C:\\\\lab\\\\june.csv"), file_name("../../x.csv"), file_name("..")
    ('june.csv', 'x.csv', 'delivered.csv')
    """
    last = PurePosixPath(PureWindowsPath(name.replace("\0", "")).name).name
    return last if last not in ("", ".", "..") else "delivered.csv"


def _run(*arguments: str) -> Finished:
    command = [sys.executable, "-P", "-m", "app.cli", *arguments]
    try:
        ended = subprocess.run(command, capture_output=True, text=True, timeout=LONGEST_LOAD_SECONDS, check=False)
    except subprocess.TimeoutExpired:
        return Finished(False, "Loading took longer than half an hour and was stopped; nothing of it was stored.")
    done = ended.returncode in DONE
    return Finished(done, ended.stdout.strip() or _last_line(ended.stderr))


def _last_line(text: str) -> str:
    return next((line.strip() for line in reversed(text.splitlines()) if line.strip()), "")
