"""The load's own scratch database: cells as written become cells as read, each way of writing decided once.

A laboratory file repeats itself: a few hundred spellings of names, units, times and values stand for thousands of
cells. Each distinct spelling is read once in Python, where it can be explained and tested, and joined back in SQL.
"""

from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from importlib import resources

import duckdb
import pyarrow as pa

from pipeline.ingest.file_layout import folded
from pipeline.ingest.identity import UnitRule, WrittenIdentity, day_of, identify
from pipeline.ingest.layout import Layout
from pipeline.ingest.styles import NumberStyle
from pipeline.ingest.time_text import read_time
from pipeline.ingest.value_text import STORED_DECIMALS, ValueReading, read_number, read_value
from pipeline.plant.limits import limits_to_prove
from pipeline.plant.plant import Plant
from pipeline.units import LinearConversion
from pipeline.vocabulary import Purpose, ReportStatus, SampleType, ValueKind

_DECIMAL = pa.decimal128(38, STORED_DECIMALS)
_INSTANT = pa.timestamp("us", tz="UTC")
_WORDS = pa.list_(pa.string())
_PLANT_ANALYTE = {
    "analyte": pa.string(), "canonical_unit": pa.string(), "canonical_basis": pa.string(), "basis_required": pa.bool_(),
    "value_kinds": _WORDS, "also_accepted_units": _WORDS, "plausible_low": _DECIMAL, "plausible_high": _DECIMAL,
    "censorable": pa.bool_(), "fraction_meaningful": pa.bool_(), "acute": pa.bool_(), "cas_number": pa.string(),
}  # fmt: skip
_PLANT_POINT = {"sample_point": pa.string(), "place": pa.string(), "disinfected": pa.bool_()}
_LIMIT_TO_PROVE = {
    "analyte": pa.string(), "sample_point": pa.string(), "limit_id": pa.string(), "canonical_value": _DECIMAL,
    "limit_text": pa.string(), "effective_from": pa.date32(), "effective_to": pa.date32(),
}  # fmt: skip
_UNIT_FREE = (ValueKind.PRESENT, ValueKind.ABSENT, ValueKind.TOO_NUMEROUS, ValueKind.NOT_ANALYZED)


def stage(connection: duckdb.DuckDBPyConnection, cells: pa.Table, layout: Layout, plant: Plant) -> None:
    """Read every cell of a file into ``staged_cell``, and put beside it what the checks need to know of the plant.

    Parameters
    ----------
    connection
        The load's scratch database; the tables ``staged_cell``, ``staged_finding`` and the plant's are made anew.
    cells
        Cells as written, from :func:`pipeline.ingest.cells.read_cells`.
    """
    connection.execute("SET TimeZone = 'UTC'")
    for name in ("staged_cell", "staged_finding", "staged_plant"):
        connection.execute(_sql(name))
    _keep(connection, "delivered_cell", cells)
    connection.execute(_sql("written_cell"))
    _read_values(connection, layout)
    _look_up_limits(connection, layout)
    _read_numbers(connection, layout)
    _read_times(connection, layout, plant)
    if plant.names.has_dated_aliases:
        connection.execute(_sql("name_by_day"))
    _read_words(connection, layout, plant)
    _read_identities(connection, layout, plant)
    connection.execute(_sql("fill_staged_cell"))
    _convert_to_canonical(connection)
    _stage_plant(connection, plant)


def _read_values(connection: duckdb.DuckDBPyConnection, layout: Layout) -> None:
    not_detected = {folded(mark) for mark in layout.words.not_detected}
    missing = {folded(mark) for mark in layout.words.missing}

    def read(value: str, condition: str, qualifier: str) -> tuple[object, ...]:
        marks = {folded(mark) for mark in qualifier.replace(",", ";").split(";")}
        reading = read_value(
            "" if folded(value) in missing else value,
            condition=layout.words.condition.get(folded(condition)),
            condition_text=condition,
            says_not_detected=bool(marks & not_detected),
            style=layout.numbers,
        )
        kind = reading.kind or "empty"
        return (
            kind,
            reading.value,
            reading.at_detection_limit,
            reading.estimated,
            reading.problem,
            _unit_rule(reading),
        )

    _spell(
        connection,
        "value_spelling",
        ("value_text", "condition_text", "qualifier_text"),
        read,
        {
            "value_kind": pa.string(), "value": _DECIMAL, "at_detection_limit": pa.bool_(), "estimated": pa.bool_(),
            "value_problem": pa.string(), "unit_rule": pa.string(),
        },
    )  # fmt: skip


def _unit_rule(reading: ValueReading) -> UnitRule:
    if reading.kind in _UNIT_FREE:
        return UnitRule.NONE
    # What was not seen has no number of its own: the unit of its limit speaks for both.
    only_a_limit = reading.kind in (ValueKind.BELOW, ValueKind.ABOVE) and reading.value is None
    return UnitRule.OF_ITS_LIMIT if only_a_limit else UnitRule.OWN


def _look_up_limits(connection: duckdb.DuckDBPyConnection, layout: Layout) -> None:
    """Give non-detects without a limit the one that the layout knows for their analyte, method and laboratory."""
    decimal = layout.numbers.decimal  # they are read with the texts of the file
    rows = [
        (
            folded(known.analyte), folded(known.method), folded(known.laboratory),
            f"{known.value:f}".replace(".", decimal), known.unit,
        )
        for known in layout.reporting_limits
    ]  # fmt: skip
    columns = dict.fromkeys(("analyte", "method", "laboratory", "value", "unit"), pa.string())
    _keep(connection, "known_limit", _table(rows, columns))
    connection.execute(_sql("look_up_limits"))


def _read_numbers(connection: duckdb.DuckDBPyConnection, layout: Layout) -> None:
    connection.execute(_sql("written_numbers"))
    _spell(
        connection,
        "number_spelling",
        ("text",),
        lambda text: read_number(text, layout.numbers),
        {"number": _DECIMAL, "problem": pa.string()},
        source="written_number",
    )


def _read_times(connection: duckdb.DuckDBPyConnection, layout: Layout, plant: Plant) -> None:
    connection.execute(_sql("written_times"))

    def read(text: str) -> tuple[object, ...]:
        reading = read_time(text, plant.zone, layout.times)
        return reading.instant, reading.local_date, reading.problem, reading.doubt

    _spell(
        connection,
        "time_spelling",
        ("text",),
        read,
        {"instant": _INSTANT, "local_date": pa.date32(), "problem": pa.string(), "doubt": pa.string()},
        source="written_time",
    )


def _read_words(connection: duckdb.DuckDBPyConnection, layout: Layout, plant: Plant) -> None:
    def point(sender: str, text: str, named_on: str) -> tuple[object, ...]:
        return (plant.names.point(text, sender, day_of(named_on)),)

    def laboratory(sender: str, text: str, named_on: str) -> tuple[object, ...]:
        return (plant.names.laboratory(text, sender, day_of(named_on)) or " ".join(text.split()),)

    def sample_type(text: str) -> tuple[object, ...]:
        meaning = layout.words.sample_type.get(folded(text), folded(text) or SampleType.ROUTINE.value)
        if meaning in set(SampleType):
            return meaning, ""
        return SampleType.OTHER_QUALITY_CONTROL.value, f'the sample type "{text.strip()}" is not known.'

    def status(text: str) -> tuple[object, ...]:
        meaning = layout.words.status.get(folded(text), folded(text) or ReportStatus.FINAL.value)
        known = meaning in set(ReportStatus)
        return (
            meaning if known else ReportStatus.PRELIMINARY.value,
            "" if known else f'the status "{text.strip()}" is not known.',
        )

    def purpose(text: str, sample: str) -> tuple[object, ...]:
        logged = plant.sample_log.get(sample.strip())
        by_default = logged.purpose if logged else Purpose.COMPLIANCE.value
        meaning = layout.words.purpose.get(folded(text), folded(text)) or by_default
        confirmed = logged.confirmation_of if logged else ""
        if meaning in set(Purpose):
            return meaning, "", confirmed
        return Purpose.SPECIAL.value, f'the purpose "{text.strip()}" is not known.', confirmed

    one_word = {"meaning": pa.string()}
    with_problem = {"meaning": pa.string(), "problem": pa.string()}
    _spell(connection, "point_spelling", ("sender", "point_text", "named_on"), point, one_word)
    _spell(connection, "laboratory_spelling", ("sender", "laboratory_text", "named_on"), laboratory, one_word)
    _spell(connection, "sample_type_spelling", ("sample_type_text",), sample_type, with_problem)
    _spell(connection, "status_spelling", ("status_text",), status, with_problem)
    _spell(
        connection, "purpose_spelling", ("purpose_text", "sample_text"), purpose,
        {**with_problem, "confirmation_of": pa.string()},
    )  # fmt: skip


def _read_identities(connection: duckdb.DuckDBPyConnection, layout: Layout, plant: Plant) -> None:
    connection.execute(_sql("written_identity"))
    written = connection.execute("FROM written_identity ORDER BY identity_id").fetchall()
    identities = {
        identity_id: identify(_written_identity(texts), plant, layout.scope) for identity_id, *texts in written
    }
    rows = [
        (
            identity_id, identity.analyte, identity.analyte_problem, identity.set_aside, identity.fraction,
            identity.basis, identity.basis_problem, identity.unit, identity.unit_dimension, identity.unit_problem,
            identity.limit_problem, identity.to_canonical is not None, *_as_text(identity.to_canonical),
        )
        for identity_id, identity in identities.items()
    ]  # fmt: skip
    columns = {
        "identity_id": pa.int64(), "analyte": pa.string(), "analyte_problem": pa.string(), "set_aside": pa.string(),
        "fraction": pa.string(), "basis": pa.string(), "basis_problem": pa.string(), "unit": pa.string(),
        "unit_dimension": pa.string(), "unit_problem": pa.string(), "limit_problem": pa.string(),
        "convertible": pa.bool_(), "factor": pa.string(), "addend": pa.string(),
    }  # fmt: skip
    _keep(connection, "identity", _table(rows, columns))
    for name in ("cell_identity", "written_limit"):
        connection.execute(_sql(name))
    _spell(
        connection,
        "limit_spelling",
        ("identity_id", "text"),
        lambda identity_id, text: _limit_in_unit(text, identities[identity_id].limit_to_unit, layout.numbers),
        {"number": _DECIMAL, "problem": pa.string()},
        source="written_limit",
    )


def _written_identity(row: Sequence[str]) -> WrittenIdentity:
    sender, named_on, analyte, cas_number, fraction, basis, unit, limit_unit, rule = row
    return WrittenIdentity(
        sender=sender,
        named_on=named_on,
        analyte=analyte,
        cas_number=cas_number,
        fraction=fraction,
        basis=basis,
        unit=unit,
        limit_unit=limit_unit,
        unit_rule=UnitRule(rule),
    )


def _limit_in_unit(text: str, to_unit: LinearConversion | None, style: NumberStyle) -> tuple[Decimal | None, str]:
    number, problem = read_number(text, style)
    if number is None or to_unit is None:
        return None, problem
    return to_stored(to_unit.apply(Fraction(number))), ""


def _convert_to_canonical(connection: duckdb.DuckDBPyConnection) -> None:
    def convert(value: Decimal, factor: str, addend: str) -> tuple[object, ...]:
        return (to_stored(Fraction(value) * Fraction(factor) + Fraction(addend)),)

    connection.execute(_sql("values_to_convert"))
    _spell(
        connection,
        "converted_value",
        ("value", "factor", "addend"),
        convert,
        {"converted": _DECIMAL},
        source="value_to_convert",
    )
    connection.execute(_sql("fill_canonical"))


def to_stored(value: Fraction) -> Decimal | None:
    """A converted value as the store keeps it: 15 decimals, half even; ``None`` when it is too large to keep.

    For display, trends and finding a slip only: a verdict converts from the value as reported.
    """
    scaled = round(value * 10**STORED_DECIMALS)
    # Written out, because arithmetic with decimals keeps 28 digits and the store has 38.
    return Decimal(f"{scaled}E-{STORED_DECIMALS}") if abs(scaled) < 10**38 else None


def _stage_plant(connection: duckdb.DuckDBPyConnection, plant: Plant) -> None:
    analytes = [
        (
            analyte.analyte, analyte.canonical_unit, analyte.canonical_basis, analyte.basis_required,
            list(analyte.value_kind), list(analyte.also_accepted_units), analyte.plausible_low, analyte.plausible_high,
            analyte.censorable, analyte.fraction_meaningful, analyte.acute, analyte.cas_number,
        )
        for analyte in plant.analytes.values()
    ]  # fmt: skip
    points = [(point.sample_point, point.place, point.disinfected) for point in plant.sample_points.values()]
    _append(connection, "plant_analyte", _table(analytes, _PLANT_ANALYTE))
    _append(connection, "plant_point", _table(points, _PLANT_POINT))
    _append(connection, "limit_to_prove", _table(limits_to_prove(plant), _LIMIT_TO_PROVE))


def _append(connection: duckdb.DuckDBPyConnection, name: str, table: pa.Table) -> None:
    connection.register("arriving", table)
    connection.execute(f"INSERT INTO {name} BY NAME FROM arriving")
    connection.unregister("arriving")


def _as_text(conversion: LinearConversion | None) -> tuple[str, str]:
    return (str(conversion.factor), str(conversion.offset)) if conversion else ("", "")


def _spell(
    connection: duckdb.DuckDBPyConnection,
    table: str,
    keys: Sequence[str],
    read: Callable[..., Iterable[object]],
    columns: dict[str, pa.DataType],
    *,
    source: str = "written_cell",
) -> None:
    """Read each distinct spelling of ``source`` once, and keep what it was read as in ``table``, beside its keys."""
    distinct = connection.sql(f"SELECT DISTINCT {', '.join(keys)} FROM {source}").to_arrow_table()
    spelled = list(zip(*(distinct.column(key).to_pylist() for key in keys), strict=True))
    readings = _table([tuple(read(*spelling)) for spelling in spelled], columns)
    for position, key in enumerate(keys):
        readings = readings.add_column(position, key, distinct.column(key))
    _keep(connection, table, readings)


def _table(rows: Sequence[Sequence[object]], columns: dict[str, pa.DataType]) -> pa.Table:
    cells = list(zip(*rows, strict=True)) if rows else [()] * len(columns)
    return pa.table({name: pa.array(column, kind) for (name, kind), column in zip(columns.items(), cells, strict=True)})


def _keep(connection: duckdb.DuckDBPyConnection, name: str, table: pa.Table) -> None:
    connection.register("arriving", table)
    connection.execute(f"CREATE OR REPLACE TABLE {name} AS FROM arriving")
    connection.unregister("arriving")


def _sql(name: str) -> str:
    return resources.files("pipeline.ingest").joinpath("sql", f"{name}.sql").read_text("utf-8")
