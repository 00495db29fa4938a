"""Plants the faults in the faultless record, and remembers where each one ended up."""

from collections.abc import Iterable
from itertools import groupby

from sample_lab.generator.faults import FAULTS, Fault
from sample_lab.generator.laboratory import rounded
from sample_lab.generator.record import Months
from sample_lab.generator.rows import LabRow

_MICRO_SIGN = "\u00b5"
_GREEK_MU = "\u03bc"
# The laboratory's new software wrote a real micro sign in these months; which one depended on the keyboard.
MICRO_SIGN_MONTHS = {"2025-02": _MICRO_SIGN, "2025-06": _GREEK_MU, "2026-07": _MICRO_SIGN}


def plant_faults(months: Months) -> None:
    """Change the record in place as :data:`~sample_lab.generator.faults.FAULTS` says."""
    for month, sign in MICRO_SIGN_MONTHS.items():
        for row in months[month]:
            if row.texts["unit"] == "ug/L":
                row.texts["unit"] = f"{sign}g/L"
    for fault in FAULTS:
        _ACTS[fault.act](fault, months)


def _change(fault: Fault, months: Months) -> None:
    for row in _meant(fault, months[fault.month]):
        row.texts.update(fault.changes)
        row.marks.append(fault.mark)


def _repeat(fault: Fault, months: Months) -> None:
    rows = months[fault.month]
    for row in _meant(fault, rows):
        again = row.copy()
        again.marks.append(fault.mark)
        rows.insert(rows.index(row) + 1, again)


def _twin(fault: Fault, months: Months) -> None:
    rows = months[fault.month]
    for row in _meant(fault, rows):
        other = row.copy(**fault.changes)
        for twin in (row, other):
            twin.marks.append(fault.mark)
        rows.insert(rows.index(row) + 1, other)


def _insert(fault: Fault, months: Months) -> None:
    rows = months[fault.month]
    for row in _meant(fault, rows):
        another = row.copy(**fault.changes)
        another.marks.append(fault.mark)
        rows.append(another)


def _reissue(fault: Fault, months: Months) -> None:
    for row in _meant(fault, months[fault.month]):
        later = row.copy(**fault.changes, reported=f"{fault.into}-27")
        later.marks.append(fault.mark)
        months[fault.into].append(later)
        row.texts["value"] = str(rounded(float(row.texts["value"]) * fault.first_report, 3, 4))


_ACTS = {"change": _change, "repeat": _repeat, "twin": _twin, "insert": _insert, "reissue": _reissue}


def _meant(fault: Fault, rows: Iterable[LabRow]) -> list[LabRow]:
    """The lines a fault is about; an unmet fault is a mistake in the list of faults."""
    of_analyte = [
        row
        for row in rows
        if row.point == fault.point
        and row.analyte in fault.analytes
        and not row.texts["sample_type"].startswith("quality")
    ]
    samples = [list(lines) for _, lines in groupby(of_analyte, key=lambda row: row.texts["laboratory_sample"])]
    whole = [lines for lines in samples if len(lines) == len(fault.analytes)]
    if fault.nth >= len(whole):
        raise LookupError(f"{fault.month} has no sample {fault.nth} of {fault.analytes} at {fault.point}.")
    return whole[fault.nth]
