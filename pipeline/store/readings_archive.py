"""Archiving a file of any length while it is read: its bytes go by once, and its name is known at the end."""

import hashlib
import os
from pathlib import Path
from typing import Final

_BEGINNING: Final = "arriving-"


class ArrivingFile:
    """A delivered file on its way into the archive; without an archive it is only hashed.

    Nothing stands under its name before the last byte is written, and :meth:`discard` leaves nothing behind.
    """

    def __init__(self, archive: Path | None) -> None:
        self._digest = hashlib.sha256()
        self._archive = archive
        self.size = 0
        self._path = archive / f"{_BEGINNING}readings" if archive else None
        self._file = self._path.open("wb") if self._path else None

    def write(self, content: bytes, /) -> None:
        """Take the next bytes."""
        self._digest.update(content)
        self.size += len(content)
        if self._file:
            self._file.write(content)

    @property
    def sha256(self) -> str:
        """Fingerprint of the bytes so far."""
        return self._digest.hexdigest()

    def keep(self) -> None:
        """Put the file into its place; one that is there already is left as it is."""
        if self._file and self._path and self._archive:
            self._file.flush()
            os.fsync(self._file.fileno())
            self._file.close()
            target = self._archive / self.sha256[:2] / self.sha256
            target.parent.mkdir(parents=True, exist_ok=True)
            if target.exists():
                self._path.unlink()
            else:
                self._path.replace(target)
            self._file = None

    def discard(self) -> None:
        """Forget the file, unless it is kept."""
        if self._file and self._path:
            self._file.close()
            self._path.unlink(missing_ok=True)
            self._file = None


def sweep_arriving(archive: Path) -> None:
    """Remove what a dead program left of a file that it was archiving."""
    for path in archive.glob(f"{_BEGINNING}*"):
        path.unlink(missing_ok=True)
