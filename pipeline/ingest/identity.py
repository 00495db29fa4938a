"""What a cell is about: which analyte, in which fraction, unit and basis; decided once for each way of writing it."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from pipeline.errors import ConversionError
from pipeline.plant.plant import Plant
from pipeline.plant.tables import Analyte
from pipeline.units import LinearConversion


class UnitRule(StrEnum):
    """Whose unit counts for a value: its own; that of its limit where it has no number; none, as for "present"."""

    OWN = "own"
    OF_ITS_LIMIT = "of its limit"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class WrittenIdentity:
    """The texts of a cell that say what it is about; equal texts are decided once.

    ``named_on`` is the day of collection (ISO) where an alias of the plant holds between dates only, else empty.
    ``unit_rule`` says whose unit counts, by the kind of value.
    """

    sender: str
    named_on: str
    analyte: str
    cas_number: str
    fraction: str
    basis: str
    unit: str
    limit_unit: str
    unit_rule: UnitRule


@dataclass(frozen=True, slots=True)
class Identity:
    """What a cell is about, or why that cannot be said; the ``..._problem`` texts are empty where all is well.

    ``analyte`` is kept as a candidate where only the basis is missing. ``to_canonical`` brings a value in ``unit`` and
    ``basis`` to the analyte's canonical ones, ``limit_to_unit`` a detection or reporting limit to ``unit``; both are
    ``None`` where there is no way.
    """

    analyte: str | None = None
    analyte_problem: str = ""
    set_aside: str = ""
    fraction: str = ""
    basis: str = ""
    basis_problem: str = ""
    unit: str | None = None
    unit_dimension: str = ""
    unit_problem: str = ""
    limit_problem: str = ""
    to_canonical: LinearConversion | None = None
    limit_to_unit: LinearConversion | None = None


def identify(written: WrittenIdentity, plant: Plant, scope: str) -> Identity:
    """Decide what a cell is about, from its texts, the plant's aliases and the shipped tables.

    Parameters
    ----------
    scope
        Alias scope of the layout, asked after the sender's own aliases.

    Notes
    -----
    A basis may be said in its own column, by the unit ("mg/L as N") or by the name ("Nitrate as N"). Where two of
    them disagree nothing is assumed and the basis is a problem. Nitrate, nitrite, ammonia, phosphate and silica have no
    default basis.
    """
    borrowed = written.unit_rule is UnitRule.OF_ITS_LIMIT and not written.unit.strip()
    unit_text = written.limit_unit if borrowed else written.unit
    on = day_of(written.named_on)
    unit = plant.names.unit(unit_text, written.sender, on=on)
    fraction = plant.names.fraction_words(written.fraction)
    name = plant.names.analyte(
        written.analyte, sender=written.sender, scope=scope, fraction=fraction, dimension=unit.dimension, on=on
    )
    if name.set_aside:
        return Identity(set_aside=name.set_aside)
    analyte = plant.analytes.get(name.analyte) if name.analyte else None
    said = (plant.names.basis_words(written.basis), unit.implied_basis, name.implied_basis)
    basis, basis_problem = _basis(plant, analyte, unit.dimension, said)
    no_unit_but_none_needed = written.unit_rule is UnitRule.NONE and not unit_text.strip()
    limit_to_unit = _limit_to_unit(plant, analyte, written, unit.unit, basis)
    return Identity(
        analyte=name.analyte,
        analyte_problem=name.problem or plant.names.cas_problem(written.cas_number, analyte),
        fraction=_fraction(analyte, fraction, name.implied_fraction),
        basis=basis,
        basis_problem="" if written.unit_rule is UnitRule.NONE else basis_problem,
        unit=unit.unit,
        unit_dimension=unit.dimension,
        unit_problem="" if no_unit_but_none_needed else unit.problem,
        limit_problem="" if limit_to_unit else f'the unit "{written.limit_unit.strip()}" of the limit does not fit.',
        to_canonical=_to_canonical(plant, analyte, unit.unit, basis),
        limit_to_unit=limit_to_unit,
    )


def day_of(named_on: str) -> date | None:
    """The day of collection on which a name is read; ``None`` where no alias asks for it."""
    return date.fromisoformat(named_on) if named_on else None


def _fraction(analyte: Analyte | None, written: str, implied: str) -> str:
    if analyte is not None and not analyte.fraction_meaningful:
        return ""  # one sender calls E. coli "Filterable": it says nothing about the result
    return written or implied


def _basis(plant: Plant, analyte: Analyte | None, dimension: str, said: tuple[str, ...]) -> tuple[str, str]:
    stated = {basis for basis in said if basis}
    if len(stated) > 1:
        return "", f"the basis is said in two ways: {' and '.join(sorted(stated))}."
    if stated:
        return stated.pop(), ""
    if analyte is None:
        return "", ""
    if plant.units.needs_basis(analyte.analyte, dimension):
        return "", f"{analyte.analyte} is given without a basis ({analyte.canonical_basis}, or another?)."
    return analyte.default_basis, ""


def _to_canonical(plant: Plant, analyte: Analyte | None, unit: str | None, basis: str) -> LinearConversion | None:
    if analyte is None or unit is None:
        return None
    return _conversion(plant, analyte, unit, basis, analyte.canonical_unit, analyte.canonical_basis)


def _limit_to_unit(
    plant: Plant, analyte: Analyte | None, written: WrittenIdentity, unit: str | None, basis: str
) -> LinearConversion | None:
    if not written.limit_unit.strip() or analyte is None or unit is None:
        return LinearConversion.identity()
    limit_unit = plant.names.unit(written.limit_unit, written.sender, on=day_of(written.named_on))
    if limit_unit.unit is None:
        return None
    return _conversion(plant, analyte, limit_unit.unit, limit_unit.implied_basis or basis, unit, basis)


def _conversion(
    plant: Plant, analyte: Analyte, from_unit: str, from_basis: str, to_unit: str, to_basis: str
) -> LinearConversion | None:
    try:
        return plant.units.conversion(analyte.analyte, from_unit, from_basis, to_unit, to_basis)
    except ConversionError:
        return None
