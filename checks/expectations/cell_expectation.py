"""What every expectation of ours shares: its SQL selects the cells that fail, and only their number is asked for."""

import re
from importlib.resources import files
from typing import Any, ClassVar

from great_expectations.expectations.core.unexpected_rows_expectation import UnexpectedRowsExpectation

_ROW_COUNT = "unexpected_rows_query.row_count"


def sql_of(expectation: str) -> str:
    """The statement that selects the failing cells of an expectation, from the file of the same name."""
    return files("checks").joinpath("expectations", "sql", f"{expectation}.sql").read_text(encoding="utf-8")


class CellExpectation(UnexpectedRowsExpectation):  # type: ignore[misc]
    """Cells that break the rule of this class.

    The statement is read from ``sql/<expectation type>.sql``: it selects ``cell_id`` and the evidence for the message
    from ``{batch}``. Parameters are typed fields of the class, a number or a word of a fixed list, and take the place
    of ``{name}`` in the statement; nothing that came with a laboratory's file ever becomes part of it.

    Notes
    -----
    The parent also fetches failing rows, which doubles the work and stops at 200 rows. The load takes all of them
    itself, with the same statement, so that only the count is wanted here.
    """

    metric_dependencies: ClassVar[tuple[str, ...]] = (_ROW_COUNT,)
    parameter_names: ClassVar[tuple[str, ...]] = ()

    def __init__(self, **fields: Any) -> None:
        parameters = {name: str(fields[name]) for name in self.parameter_names}
        expectation = re.sub(r"(?<!^)(?=[A-Z])", "_", type(self).__name__).lower()
        fields["unexpected_rows_query"] = _filled(sql_of(expectation), parameters)
        super().__init__(**fields)

    def _validate(self, metrics: dict[str, Any], **_: Any) -> dict[str, Any]:
        failed = metrics[_ROW_COUNT]
        return {"success": failed == 0, "result": {"observed_value": failed}}


def _filled(statement: str, parameters: dict[str, str]) -> str:
    for name, value in parameters.items():
        statement = statement.replace("{" + name + "}", value)
    return statement
