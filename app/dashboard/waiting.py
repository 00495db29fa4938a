"""Delivered files that no layout knows yet: kept in the store folder until a person has said how they are read."""

import hashlib
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Final

FOLDER: Final = "waiting"
_KEY_LENGTH: Final = 12


@dataclass(frozen=True, slots=True)
class Waiting:
    """One file that waits; ``key`` is the beginning of its SHA-256."""

    key: str
    path: Path

    @property
    def name(self) -> str:
        """Its name as delivered."""
        return self.path.name


def keep(name: str, content: bytes, store: Path) -> Waiting:
    """Keep a delivered file; the same bytes delivered again wait once, under the first name."""
    key = hashlib.sha256(content).hexdigest()[:_KEY_LENGTH]
    folder = store / FOLDER / key
    known = next((one for one in waiting(store) if one.key == key), None)
    if known:
        return known
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / name
    path.write_bytes(content)
    return Waiting(key, path)


def waiting(store: Path) -> list[Waiting]:
    """Every file that waits, the one that came first first."""
    files = [path for path in (store / FOLDER).glob("*/*") if path.is_file()]
    return [Waiting(path.parent.name, path) for path in sorted(files, key=lambda path: path.stat().st_mtime_ns)]


def forget(file: Waiting) -> None:
    """Take a file out of those that wait, because it is loaded now or is not ours."""
    shutil.rmtree(file.path.parent, ignore_errors=True)
