"""Running the loader for a page: always as a process of its own, because an open reading here would bar its writing."""

import json
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any, Final

from app import figures

LONGEST_LOAD_SECONDS: Final = 1800
DONE: Final = frozenset({0, 3})
PARTS: Final = ("empty", "set_aside", "held", "duplicate", "new", "revision")


@dataclass(frozen=True, slots=True)
class Finished:
    """How a run of a command ended: whether the work was done, and what it said for a person."""

    done: bool
    said: str


@dataclass(frozen=True, slots=True)
class FileResult:
    """What became of one delivered file.

    Attributes
    ----------
    load_id
        Number of its load; ``None`` where nothing of it was stored, and ``error`` then says why.
    account
        Its cells as an equation that closes.
    above
        Results that are by themselves beyond a limit, in sentences, the acute ones first.
    remarks
        What a person should know of how the file was read.
    is_unknown
        Whether no layout fits the file: it can be loaded once a person said how it is read.
    """

    file: str
    load_id: int | None = None
    account: str = ""
    above: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    error: str = ""
    is_unknown: bool = False


def load(
    files: Sequence[tuple[str, bytes]], store: Path, tell: Callable[[str], object] = lambda _: None
) -> list[FileResult]:
    """Load delivered files, each under the name it was delivered with.

    Parameters
    ----------
    tell
        Is told which file is being read.
    """
    with tempfile.TemporaryDirectory(prefix="barrierbook-") as folder:
        paths = []
        for position, (name, content) in enumerate(files):
            # Two files of one name are two files.
            path = Path(folder) / str(position) / file_name(name)
            path.parent.mkdir()
            path.write_bytes(content)
            paths.append(str(path))
        finished = _run("load", *paths, "--json", "--store", str(store), tell=tell)
    try:
        answers: list[dict[str, Any]] = json.loads(finished.said)
    except json.JSONDecodeError:
        why = finished.said or "The loader stopped without a word. Nothing was stored."
        return [FileResult(file_name(name), error=why) for name, _ in files]
    return [_result(answer) for answer in answers]


def retry(load_id: int, store: Path) -> Finished:
    """Read the held cells of one load again from the archive, with the plant folder as it is now."""
    return _run("retry", "--load", str(load_id), "--store", str(store))


def accept(kind: str, sender: str, as_written: str, means: str, store: Path, *options: str) -> Finished:
    """Write what an unknown text means into the plant folder, and read the held cells again."""
    said = [*options, *(["--sender", sender] if sender else []), "--store", str(store), "--", as_written, means]
    return _run("accept", "--kind", kind, *said)


def file_name(name: str) -> str:
    """The last part of a file name, whatever system it was written on; never empty, never a way out of a folder.

    >>> file_name("C:\\\\lab\\\\june.csv"), file_name("../../x.csv"), file_name("..")
    ('june.csv', 'x.csv', 'delivered.csv')
    """
    last = PurePosixPath(PureWindowsPath(name.replace("\0", "")).name).name
    return last if last not in ("", ".", "..") else "delivered.csv"


def _result(answer: dict[str, Any]) -> FileResult:
    if "error" in answer:
        return FileResult(answer["file"], error=answer["error"], is_unknown=bool(answer.get("is_unknown")))
    parts = " + ".join(f"{figures.whole(answer[part])} {part.replace('_', ' ')}" for part in PARTS)
    return FileResult(
        answer["file"],
        answer["load"],
        f"{figures.whole(answer['cells'])} = {parts}",
        tuple(above["sentence"] for above in answer["above_a_limit"]),
        tuple(answer["remarks"]),
    )


def _run(*arguments: str, tell: Callable[[str], object] = lambda _: None) -> Finished:
    command = [sys.executable, "-P", "-m", "app.cli", *arguments]
    with tempfile.TemporaryFile("w+", encoding="utf-8") as out:
        process = subprocess.Popen(command, stdout=out, stderr=subprocess.PIPE, text=True)
        in_time = threading.Timer(LONGEST_LOAD_SECONDS, process.kill)
        in_time.start()
        last = ""
        for line in process.stderr or ():
            if line.strip():
                last = line.strip()
                tell(last)
        code = process.wait()
        stopped = not in_time.is_alive()
        in_time.cancel()
        out.seek(0)
        said = out.read().strip()
    if stopped:
        return Finished(False, "It took longer than half an hour and was stopped; nothing of it was stored.")
    return Finished(code in DONE, said or last)
