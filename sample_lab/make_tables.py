"""Writes the sample plant's tables that follow from others: ``python -m sample_lab.make_tables``.

The monitoring plan and the sample log follow from the generator's schedule, the limits from the shipped table and
``own_limits.csv``, the list of defects from the generated files. They are kept under version control so that a reader
can look at them; a test says when one is out of date.
"""

import csv
import io
import sys
from collections.abc import Iterable, Mapping
from datetime import date
from importlib import resources
from pathlib import Path

from sample_lab.generator.files import DEFAULT_SEED
from sample_lab.generator.laboratory import LABORATORY
from sample_lab.generator.points import Point
from sample_lab.generator.record import faultless_record
from sample_lab.generator.schedule import FIRST_DAY, sample_name
from sample_lab.generator.tables import methods, schedule
from sample_lab.planted import DEFECT_COLUMNS, list_defects

PLAN_COLUMNS = (
    "sample_point", "analyte", "frequency", "status", "effective_from", "effective_to", "laboratory", "method", "note",
)  # fmt: skip
LOG_COLUMNS = ("sample", "sample_point", "collected", "received", "purpose", "confirmation_of", "note")


def derived_tables() -> dict[str, str]:
    """Every derived table's text by its path below ``sample_lab``."""
    return {
        "plant/limits.csv": limits_table(),
        "plant/monitoring_plan.csv": monitoring_plan(),
        "plant/sample_log.csv": sample_log(),
        "defects.csv": defects_table(),
    }


def monitoring_plan() -> str:
    """What is sampled where and how often, with the laboratory and method of record."""
    return _table(
        PLAN_COLUMNS,
        (
            {
                "sample_point": row.point,
                "analyte": row.analyte,
                "frequency": row.frequency,
                "status": "routine",
                "effective_from": (row.starts or FIRST_DAY).isoformat(),
                "laboratory": LABORATORY,
                "method": methods()[row.analyte].method,
            }
            for row in sorted(schedule(), key=lambda row: list(Point).index(row.point))
        ),
    )


def sample_log() -> str:
    """The samples of finished water as the sampler logged them, and one that the laboratory still owes."""
    rows: dict[str, dict[str, str]] = {}
    for lines in faultless_record(DEFAULT_SEED).values():
        for line in lines:
            texts = line.texts
            if line.point == Point.FINISHED_WATER and texts["purpose"] != "quality control":
                row = rows.setdefault(texts["sample"], {"sample": texts["sample"], "sample_point": line.point})
                row.update({name: texts[name] for name in ("collected", "purpose", "confirmation_of")})
                row["received"] = texts["received"] or row.get("received", "")
                row["note"] = texts["comment"]
    return _table(LOG_COLUMNS, [*rows.values(), _owed_sample()])


def _owed_sample() -> dict[str, str]:
    return {
        "sample": sample_name(Point.MEMBRANE_FILTRATE, date(2026, 10, 30), "-S"),
        "sample_point": Point.MEMBRANE_FILTRATE,
        "collected": "2026-10-30 08:52",
        "received": "2026-10-30 10:40",
        "purpose": "special",
        "note": "bottles for organics after a membrane repair; no report yet",
    }


def limits_table() -> str:
    """The shipped limits of the United States, then the plant's own."""
    shipped = list(csv.DictReader(_text("pipeline.reference", "limits.csv").splitlines()))
    own = list(csv.DictReader(_text("sample_lab", "own_limits.csv").splitlines()))
    chosen = [row for row in shipped if row["jurisdiction"] == "United States"]
    return _table(tuple(shipped[0]), [*chosen, *own])


def defects_table() -> str:
    """Every planted defect with its file and line."""
    rows = ({name: getattr(defect, name) for name in DEFECT_COLUMNS} for defect in list_defects())
    return _table(DEFECT_COLUMNS, ({name: "" if text is None else text for name, text in row.items()} for row in rows))


def _table(columns: tuple[str, ...], rows: Iterable[Mapping[str, object]]) -> str:
    text = io.StringIO()
    writer = csv.DictWriter(text, columns, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def _text(package: str, name: str) -> str:
    return resources.files(package).joinpath(name).read_text("utf-8")


def main() -> None:
    """Write every derived table beside this module."""
    here = Path(__file__).parent
    for name, text in derived_tables().items():
        (here / name).write_text(text, encoding="utf-8")
        print(f"{name}: {text.count(chr(10)) - 1} rows", file=sys.stderr)


if __name__ == "__main__":
    main()
