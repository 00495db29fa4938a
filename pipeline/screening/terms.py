"""The terms of a limit: one for a limit on a substance, several for a limit on a group."""

from dataclasses import dataclass
from fractions import Fraction

from pipeline.plant.tables import Limit


@dataclass(frozen=True, slots=True)
class Term:
    """One substance whose value enters a statistic.

    Parameters
    ----------
    analyte
        Canonical name.
    weight
        What its value is multiplied by to give its part of the statistic [limit's unit per ``unit``].
    unit, basis
        In which its value counts.
    accepts
        Other analytes that may be judged in its place, in order of preference.
    stand_in, stand_in_max
        An analyte that may stand for it up to a value [unit of the stand-in]; empty when there is none.
    optional
        Whether it may be absent from a sample without leaving the value open.
    nondetect_rule
        How a non-detect counts, in the words of the limit table.
    level
        Quantitation or reporting level of that rule [``unit``]; ``None`` when the rule has none.
    insensitive_above
        Limit of a non-detect above which it proves nothing [``unit``].
    not_above
        Whether the limit is one that must not be exceeded; non-detects of others keep their two bounds.
    """

    analyte: str
    weight: Fraction
    unit: str
    basis: str
    accepts: tuple[str, ...]
    stand_in: str
    stand_in_max: Fraction | None
    optional: bool
    nondetect_rule: str
    level: Fraction | None
    insensitive_above: Fraction | None
    not_above: bool

    @property
    def subtracts(self) -> bool:
        """Whether the term is taken off the others."""
        return self.weight < 0


@dataclass(frozen=True, slots=True)
class LimitTerms:
    """All terms of a limit, how they are combined, and the reported total that may stand for a plain sum."""

    combine: str
    terms: tuple[Term, ...]
    reported_total: Term | None = None

    @property
    def analytes(self) -> tuple[str, ...]:
        """Every analyte whose results may enter, once each."""
        names: dict[str, None] = {}
        for term in self.terms + ((self.reported_total,) if self.reported_total else ()):
            names.update(dict.fromkeys((term.analyte, *term.accepts, *filter(None, (term.stand_in,)))))
        return tuple(names)

    @property
    def own_analytes(self) -> tuple[str, ...]:
        """The analytes without those that only stand in for a missing one."""
        stand_ins = {term.stand_in for term in self.terms}
        own = {term.analyte for term in self.terms}
        return tuple(name for name in self.analytes if name not in stand_ins or name in own)


def terms_of(limit: Limit) -> LimitTerms:
    """Terms of a limit, from its members and parameters."""
    parameters = limit.statistic_parameters
    accepts = _listed(parameters.get("also_accepts", ""))
    if not limit.group_members:
        return LimitTerms("", (_term(limit, limit.analyte, Fraction(1), limit.unit, accepts=accepts),))
    combine = parameters.get("combine", "sum")
    scale = Fraction(parameters.get("scale", "1"))
    # A group that holds the limit's own analyte corrects it: without the figure to subtract, nothing is subtracted.
    corrects = any(member.analyte == limit.analyte for member in limit.group_members)
    terms = tuple(
        _term(limit, member.analyte, member.factor * scale, unit, optional=corrects and member.factor < 0)
        for member, unit in zip(limit.group_members, _member_units(limit), strict=True)
    )
    total = _term(limit, limit.analyte, Fraction(1), limit.unit, accepts=accepts) if combine == "sum" else None
    return LimitTerms(combine, terms, total)


def _term(
    limit: Limit, analyte: str, weight: Fraction, unit: str, *, accepts: tuple[str, ...] = (), optional: bool = False
) -> Term:
    stand_in, stand_in_max = _stand_in(limit, analyte)
    return Term(
        analyte=analyte,
        weight=weight,
        unit=unit,
        basis=limit.basis,
        accepts=accepts,
        stand_in=stand_in,
        stand_in_max=stand_in_max,
        optional=optional,
        nondetect_rule=limit.nondetect_rule,
        level=_level(limit, analyte),
        insensitive_above=None if limit.value is None else Fraction(limit.value) / abs(weight),
        not_above=limit.direction == "not above",
    )


def _member_units(limit: Limit) -> tuple[str, ...]:
    units = _listed(limit.statistic_parameters.get("member_unit", "")) or (limit.unit,)
    return units if len(units) == len(limit.group_members) else units[:1] * len(limit.group_members)


def _stand_in(limit: Limit, analyte: str) -> tuple[str, Fraction | None]:
    written = limit.statistic_parameters.get("stand_in", "")
    name, _, member = written.partition(" for ")
    if member != analyte:
        return "", None
    largest = limit.statistic_parameters.get("stand_in_max")
    return name, None if largest is None else Fraction(largest)


def _level(limit: Limit, analyte: str) -> Fraction | None:
    parameters = limit.statistic_parameters
    written = parameters.get("practical_quantitation_level") or parameters.get("state_reporting_limit") or ""
    for part in _listed(written):
        name, _, number = part.rpartition(" ")
        if name in ("", analyte):
            return Fraction(number)
    return None


def _listed(written: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in written.split("|") if part.strip())
