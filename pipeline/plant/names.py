"""What a name in a file means: analytes, sample points, laboratories, units and fractions.

A name is compared after trimming, folding inner blanks and without regard to case, first among the aliases of its own
sender, then among the plant's aliases for any sender, then in the scope of the file's layout, then in the stop list,
then among the shipped names, and last among the names of the analytes themselves. The stop list holds names that two
people would read differently (``Cyanide``, ``Chlorine``, ``TIN``): only the plant or a layout may resolve them.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from typing import Final, TypeVar

from pipeline.plant.fixed_lists import BASIS_IN_NAME
from pipeline.plant.shipped_names import ANY_SENDER, STOP_LIST, ShippedNames, folded
from pipeline.plant.tables import Alias, AliasMeaning, Analyte, Laboratory, SamplePoint, ShippedAlias
from pipeline.units import UnitMatch, UnitTable, fold_blanks

_FRACTION_WORDS: Final = {
    "total": "total",
    "unfiltered": "total",
    "unfiltered field": "total",
    "t": "total",
    "tot": "total",
    "total recoverable": "total recoverable",
    "unfiltered recoverable": "total recoverable",
    "recoverable": "total recoverable",
    "dissolved": "dissolved",
    "filtered": "dissolved",
    "filtered field": "dissolved",
    "filtered lab": "dissolved",
    "filtered field and/or lab": "dissolved",
    "filterable": "dissolved",
    "d": "dissolved",
    "diss": "dissolved",
}


AliasRow = TypeVar("AliasRow", Alias, ShippedAlias)


@dataclass(frozen=True, slots=True)
class AnalyteMatch:
    """What a written analyte name means.

    Attributes
    ----------
    analyte
        Canonical name; ``None`` when the name is not resolved or is set aside.
    implied_basis, implied_fraction
        What the name itself says (``NO3-N`` is nitrate as N).
    still_needs
        ``basis`` when the analyte is known and its value means nothing until a basis is given elsewhere.
    problem
        Why the name is not resolved, in plain words; empty when it is.
    set_aside
        Reason for which the plant sets the cells of this name aside; empty otherwise.
    found_in
        Which list resolved the name.
    """

    written: str
    analyte: str | None
    implied_basis: str = ""
    implied_fraction: str = ""
    still_needs: str = ""
    problem: str = ""
    set_aside: str = ""
    found_in: str = ""


def compared(kind: AliasMeaning, text: str) -> str:
    """Name of a kind as it is compared: units keep their case, which tells millimeters from millimoles."""
    return fold_blanks(text) if kind is AliasMeaning.UNIT else folded(text)


def fraction_words(text: str) -> str:
    """Fraction that a written one means: ``total``, ``dissolved``, ``total recoverable``, or empty for any other word.

    Examples
    --------
    >>> fraction_words("Filtered, field")
    'dissolved'
    >>> fraction_words("Total Recoverable")
    'total recoverable'
    """
    return _FRACTION_WORDS.get(folded(text.replace(",", " ")), "")


def valid_cas_number(text: str) -> bool:
    """Whether a CAS registry number is well formed and its check digit right.

    The check digit is the sum of the other digits, each times its place counted from the right, modulo ten
    (CAS, "Check Digit Verification of CAS Registry Numbers").

    Examples
    --------
    >>> valid_cas_number("7732-18-5")  # water
    True
    >>> valid_cas_number("1071-53-6")  # as printed for glyphosate in 40 CFR 141.61 [memory]; 1071-83-6 is right
    False
    """
    parts = text.strip().split("-")
    if [part for part in parts if not (part.isascii() and part.isdigit())] or len(parts) != 3:
        return False
    if not (2 <= len(parts[0]) <= 7 and len(parts[1]) == 2 and len(parts[2]) == 1):
        return False
    digits = parts[0] + parts[1]
    return sum(place * int(digit) for place, digit in enumerate(reversed(digits), start=1)) % 10 == int(parts[2])


class Names:
    """Every name that a plant knows, and what it means.

    Parameters
    ----------
    aliases
        The plant's own aliases.
    shipped
        The names that ship with the code.
    analytes, sample_points, laboratories
        By canonical name.
    units
        The known units.
    """

    def __init__(
        self,
        *,
        aliases: Iterable[Alias],
        shipped: ShippedNames,
        analytes: Mapping[str, Analyte],
        sample_points: Mapping[str, SamplePoint],
        laboratories: Mapping[str, Laboratory],
        units: UnitTable,
    ) -> None:
        self._units = units
        self._analytes = analytes
        self._own: dict[tuple[AliasMeaning, str, str], list[Alias]] = defaultdict(list)
        for alias in aliases:
            kind = AliasMeaning.ANALYTE if alias.kind is AliasMeaning.SET_ASIDE else alias.kind
            self._own[kind, folded(alias.sender), compared(kind, alias.as_written)].append(alias)
        self._shipped = shipped
        self._analyte_names = {folded(name): name for name in analytes}
        self._points = _spellings((point.sample_point, point.name) for point in sample_points.values())
        self._laboratories = _spellings(
            (laboratory.laboratory, laboratory.name) for laboratory in laboratories.values()
        )

    @cached_property
    def analyte_spellings(self) -> Mapping[str, str]:
        """Canonical name by each spelling that may be suggested, widest list first so that narrower ones win."""
        wide = self._shipped.for_any_sender.items()
        spellings = {text: means for text, means in wide if means in self._analytes} | self._analyte_names
        own = ((text, rows[0].means) for (kind, _, text), rows in self._own.items() if kind is AliasMeaning.ANALYTE)
        return spellings | {text: means for text, means in own if means in self._analytes}

    @property
    def has_dated_aliases(self) -> bool:
        """Whether any alias of the plant holds between dates, so that the day of collection has to be given."""
        return any(_depends_on_day(rows) for rows in self._own.values())

    @property
    def stopped(self) -> frozenset[str]:
        """Names that two people would read differently, or that are no result, without regard to case."""
        return self._shipped.stopped

    @property
    def scopes(self) -> frozenset[str]:
        """Scopes of shipped names that a layout may state."""
        return self._shipped.scopes

    def analyte(
        self,
        text: str,
        *,
        sender: str = "",
        scope: str = "",
        fraction: str = "",
        dimension: str = "",
        on: date | None = None,
    ) -> AnalyteMatch:
        """Find the analyte that a written name means.

        Parameters
        ----------
        text
            The name as the file has it.
        sender
            Who sent the file; its own aliases come first.
        scope
            A named scope of the file's layout, for example ``USGS NWIS``.
        fraction
            Fraction of the result, where it decides (``Organic carbon`` is total or dissolved organic carbon).
        dimension
            Dimension of the result's unit, where it decides (``Oxygen`` in percent is the saturation).
        on
            Local date of collection, for aliases that hold between two dates; ``None`` when it is not known.
        """
        if not folded(text):
            return AnalyteMatch(text, None, problem="The analyte is missing: the cell is empty.")
        for rows in self._aliases_of(AliasMeaning.ANALYTE, sender, text):
            if (match := self._from_aliases(text, rows, fraction, dimension, on)) is not None:
                return match
        if (match := self._shipped_match(text, scope, fraction, dimension)) is not None:
            return match
        if (analyte := self._analyte_names.get(folded(text))) is not None:
            needs = BASIS_IN_NAME if self._analytes[analyte].basis_required else ""
            return AnalyteMatch(text, analyte, still_needs=needs, found_in="analyte names")
        return AnalyteMatch(text, None, problem=f"The analyte {fold_blanks(text)!r} is not known.")

    def _from_aliases(
        self, text: str, rows: list[Alias], fraction: str, dimension: str, on: date | None
    ) -> AnalyteMatch | None:
        """What the plant's aliases say of a name; ``None`` when none of them is in force on the day."""
        if on is None and _depends_on_day(rows):
            return AnalyteMatch(text, None, problem=_needs_day(text))
        in_force = [row for row in rows if _in_force(row, on)]
        row = _fitting(in_force, fraction, dimension)
        if row is None:
            return self._undecided(text, in_force) if in_force else None
        found_in = f"aliases of {row.sender}" if row.sender else "aliases of the plant"
        if row.kind is AliasMeaning.SET_ASIDE:
            return AnalyteMatch(text, None, set_aside=row.means or "set aside by the plant", found_in=found_in)
        return self._resolved(text, row, found_in)

    def _shipped_match(self, text: str, scope: str, fraction: str, dimension: str) -> AnalyteMatch | None:
        """What the shipped names say: the layout's scope, then the stop list, then the names that fit any sender.

        A stopped name passes where a condition is met: ``Organic carbon`` alone is stopped, filtered it is dissolved.
        """
        in_scope, stopped, wide = (self._shipped.rows(place, text) for place in (scope, STOP_LIST, ANY_SENDER))
        row = _fitting(in_scope, fraction, dimension)
        if row is not None:
            return self._resolved(text, row, scope)
        row = _fitting(wide, fraction, dimension)
        if row is not None and (row.when or not stopped):
            return self._resolved(text, row, ANY_SENDER)
        if stopped:
            problem = f"The name {fold_blanks(text)!r} does not say which analyte it is: {stopped[0].note}."
            return AnalyteMatch(text, None, problem=problem, found_in=STOP_LIST)
        return self._undecided(text, in_scope or wide) if in_scope or wide else None

    def _resolved(self, text: str, row: Alias | ShippedAlias, found_in: str) -> AnalyteMatch:
        match = AnalyteMatch(
            text, row.means, row.implied_basis, row.implied_fraction, row.still_needs, found_in=found_in
        )
        if row.means not in self._analytes:
            # The plant may ship a shorter analyte table than the names know.
            problem = f"The name {fold_blanks(text)!r} means {row.means}, which is not in the plant's analytes.csv."
            return replace(match, analyte=None, problem=problem)
        if self._analytes[row.means].basis_required and not row.implied_basis:
            return replace(match, still_needs=BASIS_IN_NAME)
        return match

    def _undecided(self, text: str, rows: Sequence[Alias] | Sequence[ShippedAlias]) -> AnalyteMatch:
        choices = "; ".join(f"{row.means} where {row.when}" for row in rows)
        return AnalyteMatch(text, None, problem=f"The name {fold_blanks(text)!r} could be {choices}.")

    def point(self, text: str, sender: str = "", on: date | None = None) -> str | None:
        """Sample point that a written name means: by the sender's aliases, the plant's, its identifier, its name.

        ``None`` when it is not known, or when an alias holds between dates and the day ``on`` is not known.
        """
        return self._named(text, AliasMeaning.POINT, sender, on, self._points)

    def laboratory(self, text: str, sender: str = "", on: date | None = None) -> str | None:
        """Laboratory that a written name means: by aliases, its identifier, its name; ``None`` as for a point."""
        return self._named(text, AliasMeaning.LABORATORY, sender, on, self._laboratories)

    def unit(self, text: str, sender: str = "", matrix: str = "water", on: date | None = None) -> UnitMatch:
        """Unit that a written one means: by the sender's aliases, the plant's (with their case), then the table."""
        for rows in self._aliases_of(AliasMeaning.UNIT, sender, text):
            if on is None and _depends_on_day(rows):
                return UnitMatch(text, None, problem=_needs_day(text))
            for row in (row for row in rows if _in_force(row, on)):
                match = self._units.resolve(row.means, matrix)
                return replace(match, written=text, implied_basis=row.implied_basis or match.implied_basis)
        return self._units.resolve(text, matrix)

    def _aliases_of(self, kind: AliasMeaning, sender: str, text: str) -> Iterator[list[Alias]]:
        """The plant's aliases of a written name: those of its sender first, then those for any sender."""
        for owner in dict.fromkeys((folded(sender), "")):
            rows = self._own.get((kind, owner, compared(kind, text)))
            if rows:
                yield rows

    def _named(
        self, text: str, kind: AliasMeaning, sender: str, on: date | None, spellings: Mapping[str, str]
    ) -> str | None:
        for rows in self._aliases_of(kind, sender, text):
            if on is None and _depends_on_day(rows):
                return None
            for row in (row for row in rows if _in_force(row, on)):
                return row.means
        return spellings.get(folded(text))

    def fraction_words(self, text: str) -> str:
        """Fraction that a written one means; see :func:`fraction_words`."""
        return fraction_words(text)

    def basis_words(self, text: str) -> str:
        """Canonical spelling of a written basis; an unknown one comes back as written, and will not convert."""
        known = self._units.resolve_basis(text)
        return fold_blanks(text) if known is None else known

    def cas_problem(self, written: str, analyte: Analyte | None) -> str:
        """Why a written CAS number does not fit the analyte; empty when it does, or when either has none.

        A CAS number is never the key of an analyte: free, available and total cyanide share one.
        """
        if not (number := written.strip()):
            return ""
        if not valid_cas_number(number):
            return f"{number!r} is not a CAS number: its form or its check digit is wrong."
        number = number.lstrip("0")
        if analyte is None or analyte.cas_number in ("", number):
            return ""
        others = sorted(name for name, row in self._analytes.items() if row.cas_number == number)
        owner = f", it is that of {' or '.join(others)}" if others else ""
        return f"The CAS number {number} is not that of {analyte.analyte} ({analyte.cas_number}){owner}."


def _spellings(names: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Identifier by each of its spellings; the plant folder allows no spelling twice."""
    return {folded(spelling): identifier for identifier, name in names for spelling in (name, identifier) if spelling}


def _depends_on_day(rows: list[Alias]) -> bool:
    return any(row.effective_from or row.effective_to for row in rows)


def _needs_day(text: str) -> str:
    return f"What {fold_blanks(text)!r} means depends on the date of collection, which is not known."


def _in_force(row: Alias, on: date | None) -> bool:
    if on is None:
        return True
    return (row.effective_from or date.min) <= on <= (row.effective_to or date.max)


def _fitting(rows: Iterable[AliasRow], fraction: str, dimension: str) -> AliasRow | None:
    """The row whose condition is met, else the one without a condition, else none."""
    said = {f"fraction={_compared_fraction(fraction)}", f"dimension={dimension}"}
    conditional = [row for row in rows if row.when and row.when in said]
    unconditional = [row for row in rows if not row.when]
    return next(iter(conditional + unconditional), None)


def _compared_fraction(fraction: str) -> str:
    # Total recoverable is a digestion of the whole sample: it is compared as total.
    return "total" if fraction == "total recoverable" else fraction
