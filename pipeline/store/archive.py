"""The archive: every delivery and every plant folder ever used, untouched, under its SHA-256."""

import hashlib
import os
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

from pipeline.errors import StoreError


def keep(archive: Path, content: bytes) -> str:
    """Put bytes into the archive, once; returns their SHA-256.

    The bytes are written beside and moved into place, so that a name in the archive never stands for half a file.
    """
    sha256 = hashlib.sha256(content).hexdigest()
    target = _path(archive, sha256)
    if not target.exists():
        target.parent.mkdir(parents=True, exist_ok=True)
        descriptor, temporary = tempfile.mkstemp(dir=target.parent)
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).replace(target)
    return sha256


def keep_folder(archive: Path, version: str, files: Mapping[str, bytes]) -> None:
    """Keep a version of the plant folder: each file by its own hash, and a list of them under ``version``."""
    listing = "".join(f"{keep(archive, content)}  {name}\n" for name, content in sorted(files.items()))
    target = archive / "plant" / version
    if not target.exists():
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(listing, "utf-8")


def fetch_folder(archive: Path, version: str) -> dict[str, bytes]:
    """Name and bytes of every file of a version of the plant folder, shipped tables under ``shipped/``.

    Raises
    ------
    StoreError
        When the version, or a file of it, is missing.
    """
    try:
        listing = (archive / "plant" / version).read_text("utf-8")
    except FileNotFoundError as error:
        raise StoreError(
            f"the archive has lost the plant folder {version[:12]}.", "Restore the store folder from a backup."
        ) from error
    named = (line.split("  ", 1) for line in listing.splitlines())
    return {name: fetch(archive, sha256) for sha256, name in named}


def fetch(archive: Path, sha256: str) -> bytes:
    """The bytes kept under a SHA-256.

    Raises
    ------
    StoreError
        When they are missing.
    """
    try:
        return _path(archive, sha256).read_bytes()
    except FileNotFoundError as error:
        raise StoreError(
            f"the archive has lost the file {sha256[:12]}.", "Restore the store folder from a backup."
        ) from error


def damaged(archive: Path, fingerprints: Iterator[str]) -> list[str]:
    """Those of the fingerprints whose bytes are missing or no longer theirs."""
    return [sha256 for sha256 in fingerprints if not _is_whole(_path(archive, sha256), sha256)]


def _is_whole(path: Path, sha256: str) -> bool:
    return path.exists() and hashlib.sha256(path.read_bytes()).hexdigest() == sha256


def _path(archive: Path, sha256: str) -> Path:
    return archive / sha256[:2] / sha256
