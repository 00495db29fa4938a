"""What the headings of an unknown crosstab most likely say: the analyte, its unit, or the sample point or the day."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from pipeline.ingest.crosstab_layout import heading_pattern
from pipeline.ingest.propose_columns import Column, is_value
from pipeline.ingest.propose_styles import looks_like_a_date
from pipeline.plant.plant import Plant

FORMS: Final = ("{analyte} ({unit})", "{analyte} [{unit}]", "{analyte}, {unit}", "{analyte}")
_PH: Final = "pH units"
_PIECES: Final = re.compile(r"[\s._;:,()\[\]-]+")


@dataclass(frozen=True, slots=True)
class Headings:
    """What the headings of a crosstab say.

    ``values`` are the headings of columns that hold values; ``says`` what single headings say of their column where no
    form fits them; ``without_unit`` are those that name no unit.
    """

    values: tuple[str, ...]
    forms: tuple[str, ...]
    says: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    without_unit: tuple[str, ...] = ()
    reason: str = ""


def analyte_headings(columns: Sequence[Column], plant: Plant, unit_line: Sequence[str] = ()) -> Headings | None:
    """Headings that name analytes; ``None`` where no column of values has one."""
    numeric = [column for column in columns if _may_hold_values(column)]
    read = {column.name: _reading(column.name, plant) for column in numeric}
    known = [name for name, (_, said) in read.items() if said]
    if not known:
        return None
    # Beside known analytes, a heading with a known unit is a column of values too, whatever it is called.
    forms = tuple(form for form in FORMS if form in {form for form, said in read.values() if said})
    says = {name: said for name, (form, said) in read.items() if said and not form}
    units = {column.name: unit_line[column.position].strip() for column in numeric} if unit_line else {}
    without = [name for name in known if not read[name][1].get("unit") and not units.get(name)]
    for name in list(without):
        only = _only_unit(read[name][1]["analyte"], plant)
        if only:
            says[name] = {**read[name][1], "unit": only}
            without.remove(name)
    reason = f'{len(known)} headings name known analytes, such as "{known[0]}"'
    return Headings(tuple(known), forms or FORMS[-1:], says, tuple(without), reason)


def sample_headings(columns: Sequence[Column], plant: Plant) -> Headings | None:
    """Headings that are days or sample points, above columns of values; ``None`` where fewer than two are."""
    numeric = [column for column in columns if _may_hold_values(column)]
    days = tuple(column.name for column in numeric if looks_like_a_date(column.name))
    points = tuple(column.name for column in numeric if plant.names.point(column.name) is not None)
    found, form, said = max(
        ((days, "{collected}", "days"), (points, "{point}", "known sample points")), key=lambda one: len(one[0])
    )
    if len(found) < 2:
        return None
    return Headings(found, (form,), reason=f'{len(found)} headings are {said}, such as "{found[0]}"')


def _may_hold_values(column: Column) -> bool:
    if not column.name or column.is_date or column.is_clock:
        return False
    return column.is_numeric or not column.texts or column.share(is_value) > 0.2


def _reading(heading: str, plant: Plant) -> tuple[str, dict[str, str]]:
    """The form that fits a heading and what it then says; without a form what its single words say."""
    for form in FORMS:
        match = heading_pattern(form).fullmatch(" ".join(heading.split()))
        if match is None:
            continue
        said = {target: text.strip() for target, text in match.groupdict().items()}
        if _is_known(said, plant):
            return form, said
    return "", _by_pieces(heading, plant)


def _is_known(said: Mapping[str, str], plant: Plant) -> bool:
    """Whether what a heading says can be believed: a known unit behind any name, or a known name alone."""
    if "unit" in said:
        return plant.units.resolve(said["unit"]).unit is not None
    return _is_analyte(said["analyte"], plant)


def _by_pieces(heading: str, plant: Plant) -> dict[str, str]:
    """A known analyte among the words of a heading, with a known unit behind it: ``Lead.Amount..ppm.``."""
    pieces = [piece for piece in _PIECES.split(heading) if piece]
    for length in range(len(pieces), 0, -1):
        name = " ".join(pieces[:length])
        if _is_analyte(name, plant):
            units = [piece for piece in pieces[length:] if plant.units.resolve(piece).unit is not None]
            return {"analyte": name, **({"unit": units[-1]} if units else {})}
    return {}


def _only_unit(name: str, plant: Plant) -> str:
    """The unit of an analyte that can have no other, so that senders leave it out."""
    analyte = plant.analytes.get(plant.names.analyte(name).analyte or "")
    return _PH if analyte is not None and analyte.canonical_unit == _PH else ""


def _is_analyte(name: str, plant: Plant) -> bool:
    match = plant.names.analyte(name)
    return bool(match.analyte or match.found_in)
