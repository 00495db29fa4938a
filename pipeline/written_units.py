"""What a written unit means: 2,000 spellings from laboratories, and the ones that must not be trusted."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from pipeline.plant.tables import UnitSpelling


@dataclass(frozen=True, slots=True)
class UnitMatch:
    """What a written unit means.

    Attributes
    ----------
    unit
        Canonical spelling; ``None`` when the unit is unknown or ambiguous.
    factor, offset
        Value in ``base_unit`` = value x ``factor`` + ``offset``; zero when there is no unit.
    dimension
        Quantities of one dimension may be converted into each other; empty when there is no unit.
    implied_basis
        Basis that the unit itself states, as in ``mg/L as N``.
    problem
        Why the unit cannot be used, in plain words; empty when it can.
    """

    written: str
    unit: str | None
    factor: Fraction = Fraction(0)
    offset: Fraction = Fraction(0)
    base_unit: str = ""
    dimension: str = ""
    implied_basis: str = ""
    problem: str = ""


def fold_blanks(text: str) -> str:
    """Text without blanks at its ends, inner blanks folded to one, and one sign for micro."""
    return " ".join(text.replace("\u03bc", "\u00b5").split())


class WrittenUnits:
    """Every known spelling of a unit, found as it is written or, where that is safe, without regard to case."""

    def __init__(self, spellings: Iterable[UnitSpelling]) -> None:
        self._exact: dict[tuple[str, str], UnitMatch] = {}
        self._without_case: dict[tuple[str, str], dict[tuple[str | None, str], UnitMatch]] = defaultdict(dict)
        for row in spellings:
            key = fold_blanks(row.as_written)
            match = self._exact[key, row.matrix] = _match_of(row, key)
            self._without_case[key.casefold(), row.matrix].setdefault((match.unit, match.implied_basis), match)

    @property
    def spellings(self) -> tuple[str, ...]:
        """Every written unit that is known and not ambiguous."""
        return tuple(dict.fromkeys(key for (key, _), match in self._exact.items() if match.unit is not None))

    @property
    def dimensions(self) -> tuple[str, ...]:
        """Every dimension that a unit can have."""
        return tuple(sorted({match.dimension for match in self._exact.values() if match.dimension}))

    @property
    def implied_bases(self) -> frozenset[str]:
        """Every basis that a unit states by itself."""
        return frozenset(match.implied_basis for match in self._exact.values() if match.implied_basis)

    def resolve(self, text: str, matrix: str = "water") -> UnitMatch:
        """Find what a written unit means.

        The text is compared after trimming and folding inner blanks, first as it is and then without regard to case.
        Spellings that only case tells apart (``mm`` and ``mM``) are found as written only.

        Parameters
        ----------
        text
            The unit as the file has it.
        matrix
            ``water``, ``gas`` or ``solid``: ppm is mg/L in water and is held in the others.
        """
        key = fold_blanks(text)
        if not key:
            return _nothing_found(text, "The unit is missing: the cell is empty.")
        for place in (matrix, "any"):
            if (match := self._exact.get((key, place))) is not None:
                return match
        for place in (matrix, "any"):
            meanings = list(self._without_case.get((key.casefold(), place), {}).values())
            if len(meanings) == 1:
                return meanings[0]
            if meanings:
                spellings = " or ".join(sorted(match.written for match in meanings))
                return _nothing_found(text, f"The unit {key!r} could be {spellings}: upper and lower case decide.")
        return _nothing_found(text, f"The unit {key!r} is not known.")


def _match_of(row: UnitSpelling, key: str) -> UnitMatch:
    if row.ambiguous or row.factor is None or row.offset is None:
        return _nothing_found(key, f"The unit {key!r} is ambiguous: {row.note}.")
    return UnitMatch(
        written=key,
        unit=row.canonical_unit,
        factor=row.factor,
        offset=row.offset,
        base_unit=row.base_unit,
        dimension=row.dimension,
        implied_basis=row.implied_basis,
    )


def _nothing_found(text: str, problem: str) -> UnitMatch:
    return UnitMatch(written=text, unit=None, problem=problem)
