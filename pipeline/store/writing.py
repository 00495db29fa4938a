"""Committing one load, or one retry of held cells: numbered, counted and whole."""

from dataclasses import asdict, dataclass
from datetime import datetime
from importlib import resources

import duckdb
import pyarrow as pa

from pipeline.errors import AccountError


@dataclass(frozen=True, slots=True)
class Account:
    """What became of every cell of a load; the six parts add up to ``cells``.

    ``flagged`` is a second axis: how many of ``new`` and ``revision`` carry a flag.
    """

    cells: int
    empty: int
    set_aside: int
    held: int
    duplicate: int
    new: int
    revision: int
    flagged: int

    @property
    def closes(self) -> bool:
        """Whether every cell is accounted for exactly once."""
        return self.cells == self.empty + self.set_aside + self.held + self.duplicate + self.new + self.revision

    def as_dict(self) -> dict[str, int]:
        """The account by the names it is printed with."""
        return asdict(self)


@dataclass(frozen=True, slots=True)
class Arrival:
    """One file's cells and findings, ready to be committed: tables ``arriving_cell`` and ``arriving_finding``."""

    cells: pa.Table
    findings: pa.Table


@dataclass(frozen=True, slots=True)
class LoadRow:
    """What the store keeps of the load itself."""

    file_name: str
    sha256: str
    size: int
    layout: str
    layout_sha: str
    encoding: str
    lines_title: int
    lines_header: int
    lines_blank: int
    lines_data: int


def add_event(
    connection: duckdb.DuckDBPyConnection, *, kind: str, at: datetime, who: str, plant_sha256: str, detail: str = ""
) -> int:
    """Write down that something is being done; returns the event's number, the only clock of the store."""
    event_id = _next(connection, "next_event")
    plant_version = _known_or_new(connection, "plant_version_of", "add_plant_version", plant_sha256, event_id)
    _run(
        connection, "add_event",
        event_id=event_id, kind=kind, happened_at=at, who=who, plant_version=plant_version, detail=detail,
    )  # fmt: skip
    return event_id


def add_load(
    connection: duckdb.DuckDBPyConnection, load: LoadRow, arrival: Arrival, event_id: int
) -> tuple[int, Account]:
    """Commit a load: its file, its cells, its results and findings.

    Returns
    -------
    tuple of int and Account
        The number of the load, and what became of its cells.

    Raises
    ------
    AccountError
        When the account does not close; the caller's transaction must then be rolled back.
    """
    file_id = _known_or_new(connection, "file_of", "add_file", load.sha256, load.size)
    load_id = _next(connection, "next_load")
    row = asdict(load)
    del row["sha256"], row["size"]
    _run(connection, "add_load", load_id=load_id, file_id=file_id, event_id=event_id, **row)
    _settle(connection, arrival, load_id, event_id)
    account = read_account(connection, load_id)
    if not account.closes or account.cells != arrival.cells.num_rows:
        raise AccountError(
            f"the account of {load.file_name} does not close: {account}.",
            "Nothing was stored. This is a fault of barrierbook: please report it with the file.",
        )
    return load_id, account


def add_retry(connection: duckdb.DuckDBPyConnection, load_id: int, arrival: Arrival, event_id: int) -> Account:
    """Commit a second reading of a load's held cells; every other cell of the load stays as it is."""
    before = read_account(connection, load_id)
    _settle(connection, arrival, load_id, event_id)
    account = read_account(connection, load_id)
    if not account.closes or account.cells != before.cells:
        raise AccountError(
            f"the account of load {load_id} does not close after the retry: {account}.",
            "Nothing was stored. This is a fault of barrierbook: please report it.",
        )
    return account


def read_account(connection: duckdb.DuckDBPyConnection, load_id: int) -> Account:
    """What became of the cells of a load, by the latest word on each."""
    (counts,) = _run(connection, "account", load_id=load_id).fetchall()
    return Account(*counts)


def _settle(connection: duckdb.DuckDBPyConnection, arrival: Arrival, load_id: int, event_id: int) -> None:
    connection.register("arriving_cell", arrival.cells)
    connection.register("arriving_finding", arrival.findings)
    _run(connection, "decide_outcomes")
    _run(connection, "add_keys")
    for name in ("add_results", "add_outcomes", "add_held_texts", "add_findings", "add_order_findings"):
        _run(connection, name, load_id=load_id, event_id=event_id)
    _run(connection, "newest_version")
    _run(connection, "close_superseded", event_id=event_id)
    _run(connection, "open_newest", event_id=event_id)
    connection.unregister("arriving_cell")
    connection.unregister("arriving_finding")


def _known_or_new(connection: duckdb.DuckDBPyConnection, find: str, add: str, sha256: str, other: int) -> int:
    known = _run(connection, find, sha256=sha256).fetchall()
    ((number,),) = known or _run(connection, add, sha256=sha256, other=other).fetchall()
    return int(number)


def _next(connection: duckdb.DuckDBPyConnection, query: str) -> int:
    ((number,),) = _run(connection, query).fetchall()
    return int(number)


def _run(connection: duckdb.DuckDBPyConnection, name: str, **values: object) -> duckdb.DuckDBPyConnection:
    return connection.execute(query_text(name), values or None)


def query_text(name: str) -> str:
    """The text of one of the store's queries, by the question it answers."""
    return resources.files("pipeline.store").joinpath("queries", f"{name}.sql").read_text("utf-8")
