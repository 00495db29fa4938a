"""A DuckDB dialect for SQLAlchemy whose results outlive the connection they came from.

Great Expectations reads a result after it has given the connection back, and DuckDB drops an open result at that
moment. Reading every result to its end as soon as the statement has run is the whole cure.
"""

import duckdb
import duckdb_engine
from sqlalchemy.dialects import registry
from sqlalchemy.engine.cursor import FullyBufferedCursorFetchStrategy

DIALECT = "duckdb"


class BufferedExecution(duckdb_engine.Dialect.execution_ctx_cls):  # type: ignore[misc]
    """One executed statement, its rows fetched before the cursor can go away."""

    def post_exec(self) -> None:
        super().post_exec()
        if self.cursor.description:
            self.cursor_fetch_strategy = FullyBufferedCursorFetchStrategy(
                self.cursor, self.cursor.description, self.cursor.fetchall()
            )


class BufferedDuckDB(duckdb_engine.Dialect):  # type: ignore[misc]
    """The DuckDB dialect with buffered results."""

    execution_ctx_cls = BufferedExecution
    supports_statement_cache = False


def register() -> None:
    """Make ``duckdb://`` addresses of this process use the buffered dialect."""
    registry.register(DIALECT, __name__, BufferedDuckDB.__name__)


def borrowed(connection: duckdb.DuckDBPyConnection) -> duckdb_engine.ConnectionWrapper:
    """A second handle on the database of ``connection``, as SQLAlchemy wants it; closing it leaves the first open."""
    return duckdb_engine.ConnectionWrapper(connection.cursor())
