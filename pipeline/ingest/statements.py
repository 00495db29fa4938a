"""What cells say beside their values, read once for each way of saying it: names, units, limits, words."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

import duckdb
import pyarrow as pa

from pipeline.ingest.file_layout import folded
from pipeline.ingest.identity import UnitRule, WrittenIdentity, day_of, identify
from pipeline.ingest.layout import Layout
from pipeline.ingest.spelling import DECIMAL, keep, run, spell, table_of
from pipeline.ingest.stored_value import to_stored
from pipeline.ingest.styles import NumberStyle
from pipeline.ingest.value_text import read_number
from pipeline.plant.plant import Plant
from pipeline.units import LinearConversion
from pipeline.vocabulary import Purpose, ReportStatus, SampleType

# What str.strip takes away, so that a sample is found in the log by SQL as it is in Python.
_BLANKS = "".join(character for character in map(chr, range(0x3001)) if character.isspace())
_ONE_WORD = {"meaning": pa.string()}
_WITH_PROBLEM = {"meaning": pa.string(), "problem": pa.string()}


def read_statements(connection: duckdb.DuckDBPyConnection, layout: Layout, plant: Plant) -> None:
    """Fill ``read_statement``; needs the wordings and the values as read, and the numbers of ``number_spelling``."""
    _look_up_limits(connection, layout)
    _read_names(connection, plant)
    _read_words(connection, layout)
    _read_purposes(connection, layout, plant)
    _read_identities(connection, layout, plant)
    run(connection, "read_statement")


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
    keep(connection, "known_limit", table_of(rows, columns))
    run(connection, "statement")


def _read_names(connection: duckdb.DuckDBPyConnection, plant: Plant) -> None:
    def point(sender: str, text: str, named_on: str) -> tuple[object, ...]:
        return (plant.names.point(text, sender, day_of(named_on)),)

    def laboratory(sender: str, text: str, named_on: str) -> tuple[object, ...]:
        return (plant.names.laboratory(text, sender, day_of(named_on)) or " ".join(text.split()),)

    spell(
        connection, "point_spelling", ("sender", "point_text", "named_on"), point, _ONE_WORD, source="statement"
    )  # fmt: skip
    spell(
        connection, "laboratory_spelling", ("sender", "laboratory_text", "named_on"), laboratory, _ONE_WORD,
        source="statement",
    )  # fmt: skip


def _read_words(connection: duckdb.DuckDBPyConnection, layout: Layout) -> None:
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

    spell(connection, "sample_type_spelling", ("sample_type_text",), sample_type, _WITH_PROBLEM, source="statement")
    spell(connection, "status_spelling", ("status_text",), status, _WITH_PROBLEM, source="statement")


def _read_purposes(connection: duckdb.DuckDBPyConnection, layout: Layout, plant: Plant) -> None:
    def purpose(text: str, sample: str) -> tuple[object, ...]:
        logged = plant.sample_log.get(sample.strip())
        by_default = logged.purpose if logged else Purpose.COMPLIANCE.value
        meaning = layout.words.purpose.get(folded(text), folded(text)) or by_default
        confirmed = logged.confirmation_of if logged else ""
        if meaning in set(Purpose):
            return meaning, "", confirmed
        return Purpose.SPECIAL.value, f'the purpose "{text.strip()}" is not known.', confirmed

    logged_samples = table_of([(sample,) for sample in plant.sample_log], {"sample": pa.string()})
    keep(connection, "logged_sample", logged_samples)
    run(connection, "written_purpose", blanks=_BLANKS)
    spell(
        connection, "purpose_spelling", ("purpose_text", "sample_text"), purpose,
        {**_WITH_PROBLEM, "confirmation_of": pa.string()}, source="written_purpose",
    )  # fmt: skip


def _read_identities(connection: duckdb.DuckDBPyConnection, layout: Layout, plant: Plant) -> None:
    run(connection, "written_identity")
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
    keep(connection, "identity", table_of(rows, columns))
    run(connection, "written_limit")
    spell(
        connection,
        "limit_spelling",
        ("identity_id", "text"),
        lambda identity_id, text: _limit_in_unit(text, identities[identity_id].limit_to_unit, layout.numbers),
        {"number": DECIMAL, "problem": pa.string()},
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


def _as_text(conversion: LinearConversion | None) -> tuple[str, str]:
    return (str(conversion.factor), str(conversion.offset)) if conversion else ("", "")
