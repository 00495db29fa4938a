"""Committing a custody sheet, a second reading of its held lines, or its withdrawal: numbered, counted and whole."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from decimal import Decimal
from typing import Any

import duckdb
import pyarrow as pa

from pipeline.errors import AccountError
from pipeline.ingest.sample_log_content import SampleContent, SampleFinding
from pipeline.ingest.sample_log_reading import LineState, ReadSample
from pipeline.store.writing import Account, LoadRow, query_text, read_account
from pipeline.vocabulary import CellOutcome, Severity

_INSTANT = pa.timestamp("us", tz="UTC")
_DECIMAL = pa.decimal128(38, 15)
_STORED = (CellOutcome.NEW, CellOutcome.REVISION)
_LINE = {
    "logged_id": pa.int64(), "cell_id": pa.int64(), "line": pa.int64(), "key_hash": pa.string(),
    "content_hash": pa.string(), "sample": pa.string(), "laboratory_sample": pa.string(), "laboratory": pa.string(),
    "bottle": pa.string(), "sample_point": pa.string(), "sampler": pa.string(), "collected_text": pa.string(),
    "collected_at": _INSTANT, "collected_on": pa.date32(), "relinquished_text": pa.string(),
    "relinquished_at": _INSTANT, "relinquished_on": pa.date32(), "received_text": pa.string(),
    "received_at": _INSTANT, "received_on": pa.date32(), "purpose": pa.string(), "confirmation_of": pa.string(),
    "repeat_of": pa.string(), "split_of": pa.string(), "requested_text": pa.string(),
    "requested": pa.list_(pa.string()), "revision": _DECIMAL, "issued_on": pa.date32(), "filled": pa.int64(),
    "comment_text": pa.string(),
}  # fmt: skip
_OUTCOME = {
    "cell_id": pa.int64(), "line": pa.int64(), "column_name": pa.string(), "outcome": pa.string(),
    "reason": pa.string(), "logged_id": pa.int64(),
}  # fmt: skip
_HELD_TEXT = {
    "cell_id": pa.int64(), "laboratory_text": pa.string(), "sample_text": pa.string(), "point_text": pa.string(),
    "analyte_text": pa.string(), "value_text": pa.string(), "unit_text": pa.string(), "collected_text": pa.string(),
    "sample_point": pa.string(), "collected_on": pa.date32(),
}  # fmt: skip
_FINDING = {
    "cell_id": pa.int64(), "rule_id": pa.string(), "severity": pa.string(), "message": pa.string(),
    "remedy": pa.string(),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class KnownLine:
    """A line that is in the store already."""

    logged_id: int
    content: SampleContent


@dataclass(frozen=True, slots=True)
class DecidedLine:
    """An arriving line and what the store makes of it; ``logged_id`` is the line that it is or repeats."""

    read: ReadSample
    outcome: CellOutcome
    logged_id: int | None
    findings: tuple[SampleFinding, ...]


def add_sheet(
    connection: duckdb.DuckDBPyConnection, load: LoadRow, lines: Sequence[ReadSample], event_id: int
) -> tuple[int, Account]:
    """Commit a sheet: its file, its lines and what is found of them.

    Returns
    -------
    tuple of int and Account
        The number of the load, and what became of its lines.

    Raises
    ------
    AccountError
        When the account does not close; the caller's transaction must then be rolled back.
    """
    file_id = _file_id(connection, load)
    ((load_id,),) = _run(connection, "next_load").fetchall()
    row = asdict(load)
    del row["sha256"], row["size"]
    _run(connection, "add_load", load_id=load_id, file_id=file_id, event_id=event_id, **row)
    _settle(connection, lines, load_id, event_id)
    return load_id, _closed(connection, load_id, len(lines), load.file_name)


def add_sheet_retry(
    connection: duckdb.DuckDBPyConnection, load_id: int, lines: Sequence[ReadSample], event_id: int
) -> Account:
    """Commit a second reading of the held lines of a sheet; every other line stays as it is."""
    cells = read_account(connection, load_id).cells
    held = {cell_id for (cell_id,) in _run(connection, "sample_log_held_lines", load_id=load_id).fetchall()}
    again = [_standing_alone(line, held) for line in lines if line.written.cell_id in held]
    _run(connection, "add_reread", load_id=load_id, event_id=event_id)
    _settle(connection, again, load_id, event_id)
    return _closed(connection, load_id, cells, f"load {load_id}")


def withdraw_sample_log(connection: duckdb.DuckDBPyConnection, load_id: int, event_id: int) -> None:
    """Let the lines of a withdrawn load no longer count; what other sheets still say of its samples does.

    Call it after the withdrawal itself is written. A load that is no sheet is left alone.
    """
    _run(connection, "sample_log_touched_by_load", load_id=load_id)
    _renew_in_force(connection, event_id)


def decide(lines: Iterable[ReadSample], known: Mapping[str, Sequence[KnownLine]], next_id: int) -> list[DecidedLine]:
    """What the store makes of each arriving line.

    A known bottle with equal content is a duplicate. Other content is a revision where the sheets' revisions or days of
    issue tell which is newer, or where one of the two only fills in what the other leaves empty; else it is held.

    Parameters
    ----------
    known
        Lines that sheets in the store still say, by their key.
    next_id
        Number of the next line that is stored.
    """
    decided: list[DecidedLine] = []
    by_cell: dict[int, DecidedLine] = {}
    for line in lines:
        one = _decided(line, known, by_cell, next_id)
        next_id += one.outcome in _STORED
        decided.append(one)
        by_cell[line.written.cell_id] = one
    return decided


def _decided(
    line: ReadSample, known: Mapping[str, Sequence[KnownLine]], by_cell: Mapping[int, DecidedLine], next_id: int
) -> DecidedLine:
    if line.content is None:
        outcome = CellOutcome(line.state.value)
        return DecidedLine(line, outcome, None, line.findings)
    if line.state is LineState.TWIN and line.first_cell_id is not None:
        first = by_cell[line.first_cell_id]
        held = first.outcome is CellOutcome.HELD
        return DecidedLine(line, CellOutcome.HELD if held else CellOutcome.DUPLICATE, first.logged_id, first.findings)
    content, versions = line.content, known.get(line.content.key_hash, ())
    same = next((one for one in versions if one.content.content_hash == content.content_hash), None)
    if same is not None:
        return DecidedLine(line, CellOutcome.DUPLICATE, same.logged_id, line.findings)
    if any(_without_order(content, one.content) for one in versions):
        return DecidedLine(line, CellOutcome.HELD, None, (*line.findings, _no_order(content)))
    outcome = CellOutcome.REVISION if versions else CellOutcome.NEW
    return DecidedLine(line, outcome, next_id, line.findings)


def _without_order(arriving: SampleContent, known: SampleContent) -> bool:
    alike = (arriving.revision or Decimal(0), arriving.issued_on) == (known.revision or Decimal(0), known.issued_on)
    return alike and not arriving.completes(known) and not known.completes(arriving)


def _no_order(content: SampleContent) -> SampleFinding:
    return SampleFinding(
        "revision_without_order",
        Severity.HOLD,
        f"{content.sample} is in the sample log already with another content, and nothing says which of the two is "
        "newer.",
        "Write a revision number or the day of issue on the corrected sheet, and load that.",
    )


def _standing_alone(line: ReadSample, held: set[int]) -> ReadSample:
    """A line said twice whose first one is settled stands for itself."""
    if line.state is LineState.TWIN and line.first_cell_id not in held:
        return ReadSample(line.written, LineState.CANDIDATE, line.content, line.findings)
    return line


def _settle(connection: duckdb.DuckDBPyConnection, lines: Sequence[ReadSample], load_id: int, event_id: int) -> None:
    ((next_id,),) = _run(connection, "sample_log_next_line").fetchall()
    decided = decide(lines, _known(connection, lines), next_id)
    arriving = {
        "arriving_line": _table(map(_line_row, (one for one in decided if one.outcome in _STORED)), _LINE),
        "arriving_outcome": _table(map(_outcome_row, decided), _OUTCOME),
        "arriving_held_text": _table(
            map(_held_row, (one for one in decided if one.outcome is CellOutcome.HELD)), _HELD_TEXT
        ),
        "arriving_line_finding": _table(_finding_rows(decided), _FINDING),
    }
    for name, table in arriving.items():
        connection.register(name, table)
    for name in ("lines", "cells", "outcomes", "held_texts", "findings"):
        _run(connection, f"sample_log_add_{name}", load_id=load_id, event_id=event_id)
    for name in arriving:
        connection.unregister(name)
    _run(connection, "sample_log_touched_by_event", event_id=event_id)
    _renew_in_force(connection, event_id)


def _renew_in_force(connection: duckdb.DuckDBPyConnection, event_id: int) -> None:
    _run(connection, "sample_log_newest_lines")
    _run(connection, "sample_log_close_superseded", event_id=event_id)
    _run(connection, "sample_log_open_newest", event_id=event_id)


def _known(connection: duckdb.DuckDBPyConnection, lines: Sequence[ReadSample]) -> dict[str, list[KnownLine]]:
    keys = sorted({line.content.key_hash for line in lines if line.content is not None})
    rows = connection.sql(query_text("sample_log_known_lines"), params={"keys": keys})
    names = rows.columns
    found: dict[str, list[KnownLine]] = {}
    for row in rows.fetchall():
        said = dict(zip(names, row, strict=True))
        found.setdefault(said["key_hash"], []).append(KnownLine(said["logged_id"], content_of_row(said)))
    return found


def content_of_row(row: Mapping[str, Any]) -> SampleContent:
    """What a stored line says."""
    said = {part.name: row[part.name] for part in fields(SampleContent)}
    return SampleContent(**{**said, "requested": tuple(said["requested"])})


def _line_row(one: DecidedLine) -> dict[str, object]:
    content = one.read.content
    if content is None:
        raise ValueError("a line that is stored has been read")
    return {
        "logged_id": one.logged_id,
        "cell_id": one.read.written.cell_id,
        "line": one.read.written.line,
        "key_hash": content.key_hash,
        "content_hash": content.content_hash,
        "filled": content.filled,
        **{part.name: getattr(content, part.name) for part in fields(content)},
    }


def _outcome_row(one: DecidedLine) -> dict[str, object]:
    written = one.read.written
    return {
        "cell_id": written.cell_id, "line": written.line, "column_name": written.column, "outcome": one.outcome.value,
        "reason": written.set_aside, "logged_id": one.logged_id,
    }  # fmt: skip


def _held_row(one: DecidedLine) -> dict[str, object]:
    written, content = one.read.written, one.read.content
    return {
        "cell_id": written.cell_id,
        "laboratory_text": written.text("laboratory"),
        "sample_text": written.text("sample"),
        "point_text": written.text("point"),
        "analyte_text": written.text("requested"),
        "value_text": written.text("sample"),
        "unit_text": "",
        "collected_text": written.text("collected"),
        "sample_point": content.sample_point if content else None,
        "collected_on": content.collected_on if content else None,
    }


def _finding_rows(decided: Iterable[DecidedLine]) -> Iterator[dict[str, object]]:
    for one in decided:
        if one.outcome is CellOutcome.HELD or one.outcome in _STORED:
            for finding in one.findings:
                yield {"cell_id": one.read.written.cell_id, **asdict(finding), "severity": finding.severity.value}


def _table(rows: Iterable[Mapping[str, object]], columns: Mapping[str, pa.DataType]) -> pa.Table:
    listed = list(rows)
    return pa.table({name: pa.array([_stored(row[name]) for row in listed], kind) for name, kind in columns.items()})


def _stored(value: object) -> object:
    """Arrow refuses a decimal with fewer digits behind the point than its column has, and takes lists for lists."""
    if isinstance(value, Decimal):
        return value.quantize(Decimal("1e-15"))
    return list(value) if isinstance(value, tuple) else value


def _closed(connection: duckdb.DuckDBPyConnection, load_id: int, cells: int, name: str) -> Account:
    account = read_account(connection, load_id)
    if not account.closes or account.cells != cells:
        raise AccountError(
            f"the account of {name} does not close: {account}.",
            "Nothing was stored. This is a fault of barrierbook: please report it with the file.",
        )
    return account


def _file_id(connection: duckdb.DuckDBPyConnection, load: LoadRow) -> int:
    known = _run(connection, "file_of", sha256=load.sha256).fetchall()
    ((file_id,),) = known or _run(connection, "add_file", sha256=load.sha256, other=load.size).fetchall()
    return int(file_id)


def _run(connection: duckdb.DuckDBPyConnection, name: str, **values: object) -> duckdb.DuckDBPyConnection:
    return connection.execute(query_text(name), values or None)
