"""What the checks need to know of the plant, put beside the staged cells."""

import duckdb
import pyarrow as pa

from pipeline.ingest.spelling import DECIMAL, append, run, table_of
from pipeline.plant.limits import limits_to_prove
from pipeline.plant.plant import Plant

_WORDS = pa.list_(pa.string())
_ANALYTE = {
    "analyte": pa.string(), "canonical_unit": pa.string(), "canonical_basis": pa.string(), "basis_required": pa.bool_(),
    "value_kinds": _WORDS, "also_accepted_units": _WORDS, "plausible_low": DECIMAL, "plausible_high": DECIMAL,
    "censorable": pa.bool_(), "fraction_meaningful": pa.bool_(), "acute": pa.bool_(), "cas_number": pa.string(),
}  # fmt: skip
_POINT = {"sample_point": pa.string(), "place": pa.string(), "disinfected": pa.bool_()}
_LIMIT_TO_PROVE = {
    "analyte": pa.string(), "sample_point": pa.string(), "limit_id": pa.string(), "canonical_value": DECIMAL,
    "limit_text": pa.string(), "effective_from": pa.date32(), "effective_to": pa.date32(),
}  # fmt: skip


def stage_plant(connection: duckdb.DuckDBPyConnection, plant: Plant) -> None:
    """Fill ``plant_analyte``, ``plant_point`` and ``limit_to_prove``."""
    run(connection, "staged_plant")
    analytes = [
        (
            analyte.analyte, analyte.canonical_unit, analyte.canonical_basis, analyte.basis_required,
            list(analyte.value_kind), list(analyte.also_accepted_units), analyte.plausible_low, analyte.plausible_high,
            analyte.censorable, analyte.fraction_meaningful, analyte.acute, analyte.cas_number,
        )
        for analyte in plant.analytes.values()
    ]  # fmt: skip
    points = [(point.sample_point, point.place, point.disinfected) for point in plant.sample_points.values()]
    append(connection, "plant_analyte", table_of(analytes, _ANALYTE))
    append(connection, "plant_point", table_of(points, _POINT))
    append(connection, "limit_to_prove", table_of(limits_to_prove(plant), _LIMIT_TO_PROVE))
