"""Committing one load: numbered, counted and whole."""

from dataclasses import asdict, dataclass
from datetime import datetime

import duckdb

from pipeline.errors import AccountError
from pipeline.store.settling import Arrival, begin, let_newest_count, query_text, run, settle

__all__ = ["Account", "Arrival", "LoadRow", "add_event", "add_load", "query_text", "read_account"]


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
    run(
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
    run(connection, "add_load", load_id=load_id, file_id=file_id, event_id=event_id, **row)
    begin(connection)
    settle(connection, arrival, load_id, event_id)
    let_newest_count(connection, event_id)
    account = read_account(connection, load_id)
    if not account.closes or account.cells != arrival.cells.num_rows:
        raise AccountError(
            f"the account of {load.file_name} does not close: {account}.",
            "Nothing was stored. This is a fault of barrierbook: please report it with the file.",
        )
    return load_id, account


def read_account(connection: duckdb.DuckDBPyConnection, load_id: int) -> Account:
    """What became of the cells of a load, by the latest word on each."""
    (counts,) = run(connection, "account", load_id=load_id).fetchall()
    return Account(*counts)


def _known_or_new(connection: duckdb.DuckDBPyConnection, find: str, add: str, sha256: str, other: int) -> int:
    known = run(connection, find, sha256=sha256).fetchall()
    ((number,),) = known or run(connection, add, sha256=sha256, other=other).fetchall()
    return int(number)


def _next(connection: duckdb.DuckDBPyConnection, query: str) -> int:
    ((number,),) = run(connection, query).fetchall()
    return int(number)
