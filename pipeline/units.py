"""Units and bases of a result: what a written unit means, and exact conversion between two of them.

A conversion stays within one dimension, and never joins quantities that only look alike: MPN and CFU, NTU and FNU,
conductivity at 20 and at 25 degrees, mass and activity of uranium. Mass, amount and equivalents per volume are joined
through the analyte's molar mass or equivalent weight, two bases of an analyte (nitrate as N, as NO3) through an exact
factor from the IUPAC abridged atomic weights of 2021. Everything is calculated with :class:`fractions.Fraction`.

Examples
--------
>>> from fractions import Fraction
>>> from pipeline.reference import basis_factors, shipped_analytes, unit_spellings
>>> units = UnitTable(unit_spellings(), basis_factors(), shipped_analytes())
>>> units.resolve("UG/L").unit
'ug/L'
>>> as_no3 = units.convert(
...     Fraction(10), analyte="Nitrate", from_unit="mg/L", from_basis="as N", to_unit="mg/L", to_basis="as NO3"
... )
>>> round(float(as_no3), 2)
44.27
"""

from collections import defaultdict, deque
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from pipeline.errors import ConversionError
from pipeline.plant.tables import Analyte, BasisFactor, UnitSpelling
from pipeline.written_units import UnitMatch, WrittenUnits, fold_blanks

__all__ = ["LinearConversion", "UnitMatch", "UnitTable", "fold_blanks"]

_MASS: Final = "mass per volume"
# A value per volume is a node of the analyte's network of bases: a mass by its basis, the others by their base unit.
_NODE_OF_DIMENSION: Final = {"amount per volume": "mmol/L", "equivalents per volume": "meq/L"}
# pH is a pure number: one sender writes "pH units", the next nothing at all.
_NO_UNIT_OR_PH: Final = {"unitless", "pH units"}
# A mole of alkalinity is a mole of H+ to one laboratory and a mole of CaCO3 to the next: a factor of two.
_MOLE_IS_AMBIGUOUS: Final = frozenset({"Alkalinity, total"})


@dataclass(frozen=True, slots=True)
class LinearConversion:
    """An exact conversion: target value = source value x ``factor`` + ``offset``."""

    factor: Fraction
    offset: Fraction = Fraction(0)

    @classmethod
    def identity(cls) -> "LinearConversion":
        """The conversion that changes nothing."""
        return cls(Fraction(1))

    def apply(self, value: Fraction) -> Fraction:
        """Value in the target unit and basis."""
        return value * self.factor + self.offset


class UnitTable:
    """Every unit and basis that is known, and the conversions between them.

    Parameters
    ----------
    spellings
        Written units (``pipeline/reference/units.csv``), or what :class:`WrittenUnits` made of them.
    factors
        Factors between bases and equivalent weights (``basis.csv``).
    analytes
        Analytes with their molar mass and their usual basis.
    """

    def __init__(
        self,
        spellings: WrittenUnits | Iterable[UnitSpelling],
        factors: Iterable[BasisFactor],
        analytes: Iterable[Analyte],
    ) -> None:
        self._analytes = {analyte.analyte: analyte for analyte in analytes}
        self._written = spellings if isinstance(spellings, WrittenUnits) else WrittenUnits(spellings)
        rows = tuple(factors)
        self._networks = _basis_networks(rows, self._analytes)
        self._bases = _known_bases(rows, self._analytes, self._written.implied_bases)
        self._conversions: dict[tuple[str, str, str, str, str], LinearConversion] = {}

    @property
    def spellings(self) -> tuple[str, ...]:
        """Every written unit that is known and not ambiguous."""
        return self._written.spellings

    @property
    def dimensions(self) -> tuple[str, ...]:
        """Every dimension that a unit can have."""
        return self._written.dimensions

    def resolve(self, text: str, matrix: str = "water") -> UnitMatch:
        """What a written unit means; see :meth:`WrittenUnits.resolve`."""
        return self._written.resolve(text, matrix)

    def resolve_basis(self, text: str) -> str | None:
        """Canonical spelling of a written basis (``NO3``, ``as no3`` give ``as NO3``); ``None`` when it is not known.

        An empty text says nothing and stays empty.
        """
        key = fold_blanks(text).casefold()
        if not key:
            return ""
        return self._bases.get(key.removeprefix("as ").strip())

    def needs_basis(self, analyte: str, dimension: str) -> bool:
        """Whether a result of this dimension means nothing until its basis is stated.

        A mass of nitrate does (as N or as NO3); an equivalent, a mole or a count carries no basis.
        """
        known = self._analytes.get(analyte)
        return known is not None and known.basis_required and dimension == _MASS

    def bases_of(self, analyte: str) -> tuple[str, ...]:
        """Every basis on which the analyte can be stated; empty where it knows none."""
        return tuple(sorted(node for node in self._networks.get(analyte, {}) if node.startswith("as ")))

    def convert(
        self, value: Fraction, *, analyte: str, from_unit: str, from_basis: str, to_unit: str, to_basis: str
    ) -> Fraction:
        """Bring a value to another unit and basis, exactly.

        Raises
        ------
        ConversionError
            When a unit is unknown, a basis is missing, or the two measure different things.

        Examples
        --------
        15 pCi/L is 0.555 Bq/L (one curie is 3.7e10 becquerel by definition):

        >>> from pipeline.reference import basis_factors, shipped_analytes, unit_spellings
        >>> units = UnitTable(unit_spellings(), basis_factors(), shipped_analytes())
        >>> units.conversion("Gross alpha", "pCi/L", "", "Bq/L", "").apply(Fraction(15))
        Fraction(111, 200)
        """
        return self.conversion(analyte, from_unit, from_basis, to_unit, to_basis).apply(value)

    def conversion(
        self, analyte: str, from_unit: str, from_basis: str, to_unit: str, to_basis: str
    ) -> LinearConversion:
        """Factor and offset between two units and bases of an analyte; remembered, for use on many rows.

        An empty basis means the one that the unit states, else the one that the trade always means for the analyte.

        Raises
        ------
        ConversionError
            As for :meth:`convert`.
        """
        key = (analyte, from_unit, from_basis, to_unit, to_basis)
        if (known := self._conversions.get(key)) is None:
            known = self._conversions[key] = self._work_out(*key)
        return known

    def _work_out(self, analyte: str, from_unit: str, from_basis: str, to_unit: str, to_basis: str) -> LinearConversion:
        source, target = self._usable(from_unit), self._usable(to_unit)
        start, end = self._node(analyte, source, from_basis), self._node(analyte, target, to_basis)
        if start != end and start and end:
            between = self._factor_between(analyte, start, end)
            return LinearConversion(source.factor * between / target.factor)
        if source.dimension == target.dimension and start != end:
            raise ConversionError(f"{analyte or 'A result'} is not known on a basis, and is stated {start or end}.")
        if {source.unit, target.unit} == _NO_UNIT_OR_PH:
            return LinearConversion.identity()
        if source.dimension != target.dimension:
            raise ConversionError(
                f"{analyte or 'A result'} in {source.unit} ({source.dimension}) cannot be converted to "
                f"{target.unit} ({target.dimension})."
            )
        return LinearConversion(source.factor / target.factor, (source.offset - target.offset) / target.factor)

    def _usable(self, unit: str) -> UnitMatch:
        match = self.resolve(unit)
        if match.unit is None:
            raise ConversionError(match.problem)
        return match

    def _node(self, analyte: str, match: UnitMatch, stated: str) -> str:
        """Where a value stands in the analyte's network; empty where neither dimension nor analyte knows a basis."""
        if match.dimension in _NODE_OF_DIMENSION:
            return _NODE_OF_DIMENSION[match.dimension]
        if match.dimension != _MASS:
            return ""
        if stated and match.implied_basis and stated != match.implied_basis:
            raise ConversionError(f"The unit says {match.implied_basis} and the basis says {stated}: one is wrong.")
        return stated or match.implied_basis or self._usual_basis(analyte)

    def _usual_basis(self, analyte: str) -> str:
        known = self._analytes.get(analyte)
        if known is None:
            return ""
        if known.basis_required:
            raise ConversionError(
                f"The basis of {analyte} is not stated (possible: {', '.join(self.bases_of(analyte))})."
            )
        return known.default_basis or known.canonical_basis or _only_basis(self._networks.get(analyte, {}))

    def _factor_between(self, analyte: str, start: str, end: str) -> Fraction:
        """Product of the factors on the shortest way from one node of the analyte's network to another."""
        network = self._networks.get(analyte, {})
        reached = {start: Fraction(1)}
        waiting = deque([start])
        while waiting:
            node = waiting.popleft()
            if node == end:
                return reached[end]
            for following, factor in network.get(node, {}).items():
                if following not in reached:
                    reached[following] = reached[node] * factor
                    waiting.append(following)
        raise ConversionError(f"There is no factor for {analyte or 'this analyte'} from {start} to {end}.")


def _only_basis(network: dict[str, dict[str, Fraction]]) -> str:
    bases = [node for node in network if node.startswith("as ")]
    return bases[0] if len(bases) == 1 else ""


def _basis_networks(
    factors: tuple[BasisFactor, ...], analytes: dict[str, Analyte]
) -> dict[str, dict[str, dict[str, Fraction]]]:
    """For each analyte: which basis, mole or equivalent leads to which, and by what factor [mg/L, mmol/L, meq/L]."""
    networks: dict[str, dict[str, dict[str, Fraction]]] = defaultdict(lambda: defaultdict(dict))
    for row in factors:
        if row.used_for != "conversion":
            continue
        for name in row.analytes:
            networks[name][row.from_basis][row.to_basis] = row.factor_exact
    for analyte in analytes.values():
        if analyte.molar_mass_g_mol is None or not analyte.formula or analyte.analyte in _MOLE_IS_AMBIGUOUS:
            continue
        molar_mass, basis = Fraction(analyte.molar_mass_g_mol), f"as {analyte.formula}"
        networks[analyte.analyte]["mmol/L"][basis] = molar_mass
        networks[analyte.analyte][basis]["mmol/L"] = 1 / molar_mass
    return {analyte: {node: dict(ways) for node, ways in network.items()} for analyte, network in networks.items()}


def _known_bases(
    factors: tuple[BasisFactor, ...], analytes: dict[str, Analyte], implied: frozenset[str]
) -> dict[str, str]:
    """Every basis by its text without ``as`` and without case."""
    bases = {basis for row in factors for basis in (row.from_basis, row.to_basis)}
    bases |= {basis for analyte in analytes.values() for basis in (analyte.default_basis, analyte.canonical_basis)}
    return {basis.removeprefix("as ").casefold(): basis for basis in sorted(bases | implied) if basis.startswith("as ")}
