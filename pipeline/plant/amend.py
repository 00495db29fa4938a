"""Changes one file of a plant folder, once the whole folder was read with the change in it."""

import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

from pipeline.errors import Place, PlantRowError


def amend(folder: Path, file: str, change: Callable[[bytes], bytes], accept: Callable[[Path], object]) -> None:
    """Change one file of a plant folder, or make it.

    The new file takes the place of the old one in a single step: whoever reads the folder meanwhile finds the one or
    the other, whole.

    Parameters
    ----------
    file
        Name within the folder, for example ``aliases.csv`` or ``layouts/june.toml``.
    change
        Gives the new content for the one that is there, empty bytes where there is none.
    accept
        Reads a copy of the folder with the new file in it, and raises when anything of it is wrong.

    Raises
    ------
    PlantRowError
        When somebody else changed the file meanwhile; nothing was changed then.
    BarrierbookError
        Whatever ``accept`` raises; nothing was changed then.
    """
    path = folder / file
    before = _content(path)
    after = change(before)
    with tempfile.TemporaryDirectory(prefix="barrierbook-") as scratch:
        trial = Path(scratch) / folder.name
        _copy(folder, trial)
        _write(trial / file, after)
        accept(trial)
    if _content(path) != before:
        raise PlantRowError("it was changed meanwhile, and stays as it is.", "Try again.", Place(file))
    _replace(path, after)


def _content(path: Path) -> bytes:
    return path.read_bytes() if path.exists() else b""


def _copy(folder: Path, trial: Path) -> None:
    trial.mkdir()
    for path in (*folder.glob("*.toml"), *folder.glob("*.csv"), *folder.glob("layouts/*.toml")):
        if path.is_file():
            copied = trial / path.relative_to(folder)
            copied.parent.mkdir(exist_ok=True)
            shutil.copyfile(path, copied)


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(content)


def _replace(path: Path, content: bytes) -> None:
    path.parent.mkdir(exist_ok=True)
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    written = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        written.chmod(path.stat().st_mode & 0o777 if path.exists() else 0o644)
        written.replace(path)
    finally:
        written.unlink(missing_ok=True)
