"""Writes the sample plant's tables that follow from others: ``python -m sample_lab.make_tables``.

The monitoring plan and the sample log follow from the generator's schedule, the limits from the shipped table and
``own_limits.csv``, the list of defects from the generated files. They are kept under version control so that a reader
can look at them; a test says when one is out of date.
"""

import csv
import io
import sys
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta
from importlib import resources
from pathlib import Path

from sample_lab.generator.files import DEFAULT_SEED
from sample_lab.generator.laboratory import LABORATORY
from sample_lab.generator.points import Point
from sample_lab.generator.readings.tags import tags
from sample_lab.generator.record import faultless_record
from sample_lab.generator.schedule import FIELD_SHEETS_FROM, FIRST_DAY, sample_name
from sample_lab.generator.senders import fernholm, harrowfen, process_laboratory, tarn_basin
from sample_lab.generator.senders.bench import tests
from sample_lab.generator.senders.field_crew import CREW
from sample_lab.generator.tables import methods, schedule
from sample_lab.planted import DEFECT_COLUMNS, list_defects

PLAN_COLUMNS = (
    "sample_point", "analyte", "frequency", "status", "effective_from", "effective_to", "laboratory", "method", "note",
)  # fmt: skip
ANALYZER_COLUMNS = (
    "tag", "sample_point", "analyte", "quantity", "unit", "basis", "range_low", "range_high", "usual_low", "usual_high",
    "expected_interval_s", "run_status_tag", "also_written", "note",
)  # fmt: skip
EXPECTED_INTERVAL = 900
LOG_COLUMNS = ("sample", "sample_point", "collected", "received", "purpose", "confirmation_of", "note")


def derived_tables() -> dict[str, str]:
    """Every derived table's text by its path below ``sample_lab``."""
    return {
        "plant/limits.csv": limits_table(),
        "plant/monitoring_plan.csv": monitoring_plan(),
        "plant/analyzers.csv": analyzers(),
        "plant/sample_log.csv": sample_log(),
        "defects.csv": defects_table(),
    }


def monitoring_plan() -> str:
    """What is sampled where and how often, with the laboratory and method of record."""
    rows = [*_plan_of_the_first_laboratory(), *_plan_of_the_others()]
    return _table(PLAN_COLUMNS, sorted(rows, key=lambda row: list(Point).index(Point(str(row["sample_point"])))))


def _plan_of_the_first_laboratory() -> Iterator[dict[str, str]]:
    """Its rows; what is measured at the tap is the field crew's since the crew keeps sheets of its own."""
    for row in schedule():
        method = methods()[row.analyte]
        starts = row.starts or FIRST_DAY
        planned = _planned(row.point, row.analyte, row.frequency, starts, LABORATORY, method.method)
        if method.in_the_field:
            yield {**planned, "effective_to": (FIELD_SHEETS_FROM - timedelta(days=1)).isoformat()}
            yield {**planned, "effective_from": FIELD_SHEETS_FROM.isoformat(), "laboratory": CREW}
        else:
            yield planned


def _plan_of_the_others() -> Iterator[dict[str, str]]:
    for laboratory, table, frequency in (
        (fernholm.LABORATORY, "fernholm", "quarterly"),
        (harrowfen.LABORATORY, "harrowfen", "monthly"),
        (tarn_basin.LABORATORY, "tarn_basin", "monthly"),
    ):
        for test in tests(table):
            for point in test.points:
                yield _planned(point, test.analyte, frequency, FIRST_DAY, laboratory, test.method)


def _planned(point: Point, analyte: str, frequency: str, starts: date, laboratory: str, method: str) -> dict[str, str]:
    return {
        "sample_point": point, "analyte": analyte, "frequency": frequency, "status": "routine",
        "effective_from": starts.isoformat(), "laboratory": laboratory, "method": method,
    }  # fmt: skip


def analyzers() -> str:
    """The signals of the historian; readings come every quarter of an hour."""
    rows = ({**tag.written, "expected_interval_s": str(EXPECTED_INTERVAL)} for tag in tags())
    return _table(ANALYZER_COLUMNS, ({name: row.get(name, "") for name in ANALYZER_COLUMNS} for row in rows))


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
    """Write every derived table beside this module, and the workbook among the examples."""
    here = Path(__file__).parent
    (here / "examples" / process_laboratory.NAME).write_bytes(process_laboratory.content(DEFAULT_SEED))
    for name, text in derived_tables().items():
        (here / name).write_text(text, encoding="utf-8")
        print(f"{name}: {text.count(chr(10)) - 1} rows", file=sys.stderr)


if __name__ == "__main__":
    main()
