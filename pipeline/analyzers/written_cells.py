"""The texts of the statements that depend on the columns of a file: which field is the time, the tag, a value.

Fields are named by their position and never by a text of the file; every text of the layout is bound.
"""

from pipeline.analyzers.block_table import field_name
from pipeline.analyzers.columns import FileColumns, ValueColumn
from pipeline.analyzers.readings_layout import OFFSET_WRITTEN, ReadingsLayout
from pipeline.plant.analyzers import STORED_DECIMALS


def stamp_lines(columns: FileColumns, layout: ReadingsLayout) -> str:
    """Read the time of each line of a wide file once for all its tags."""
    fields = sorted(
        {column.position for column in columns.values}
        | {column.status for column in columns.values if column.status is not None}
    )
    kept = ", ".join(field_name(position) for position in fields)
    return (
        "CREATE OR REPLACE TEMP TABLE stamped AS "
        f"SELECT position, fault, {_rule(columns)} AS rule, {_time(columns, layout)}, {kept} FROM lines"
    )


def write_cells(columns: FileColumns, column: ValueColumn, layout: ReadingsLayout, lines: str = "lines") -> str:
    """Put the cells of a column of values into ``cell_text``, numbers read where they are plain.

    ``lines`` is where the lines of a narrow file come from: a table or view, or the text that reads them.
    """
    value = field_name(column.position)
    status = "''" if column.status is None else f"coalesce({field_name(column.status)}, '')"
    if columns.tag is None:
        source, tag, stamped = "stamped", "$tag::VARCHAR", "time_text, wall_us"
        rule = "rule" if column.rule is None else str(column.rule)
    else:
        source, tag, stamped = lines, f"coalesce({field_name(columns.tag)}, '')", _time(columns, layout)
        rule = _rule(columns)
    return (
        "CREATE OR REPLACE TEMP TABLE cell_text AS "
        "SELECT position, CASE WHEN in_time THEN wall_us END AS wall_us, CASE WHEN NOT in_time THEN time_text END AS "
        "time_text, tag_text, number::DECIMAL(18,6) AS number, CASE WHEN number IS NULL THEN value_text END AS odd, "
        "status_text, rule::INTEGER AS rule, fault "
        "FROM (SELECT *, coalesce(wall_us >= $first_time AND wall_us < $last_time, false) AS in_time "
        f"FROM (SELECT position, fault, {tag} AS tag_text, {value} AS value_text, {_number(value, layout)} AS number, "
        f"{status} AS status_text, {rule} AS rule, {stamped} FROM {source}))"
    )


def _time(columns: FileColumns, layout: ReadingsLayout) -> str:
    fields = ", ".join(field_name(position) for position in columns.time)
    text = fields if len(columns.time) == 1 else f"concat_ws(' ', {fields})"
    # Z is how ISO 8601 writes an offset of nothing, and the pattern of offsets does not know it.
    parsed = f"regexp_replace({text}, 'Z\\s*$', '+00:00')" if layout.time.zone == OFFSET_WRITTEN else text
    return f"{text} AS time_text, epoch_us(try_strptime({parsed}, $formats)) AS wall_us"


def _number(value: str, layout: ReadingsLayout) -> str:
    text = f"replace({value}, ',', '.')" if layout.decimal_comma else value
    decimals = STORED_DECIMALS if layout.decimals is None else layout.decimals
    return f"CASE WHEN regexp_full_match({value}, $plain) THEN TRY_CAST({text} AS DECIMAL(18,{decimals})) END"


def _rule(columns: FileColumns) -> str:
    cases = " ".join(
        f"WHEN list_contains($rule_{number}, lower(trim({field_name(position)}))) THEN {number}"
        for number, position, _ in columns.row_rules
    )
    return f"CASE {cases} END" if cases else "NULL::INTEGER"
