"""The value a result counts with: what the rule of the limit puts in place of a non-detect, shown in words.

Rules and where they stand: below the detection limit counts as zero (40 CFR 141.23(i)(1), 141.24(f)(15), (h)(11));
one half of the detection limit when gross alpha stands in for radium-226 or uranium (40 CFR 141.26(c)(3)(v)); below the
practical quantitation level counts as zero even when a number was measured (40 CFR 141.903(f)). Where no rule is
known the two bounds are kept: zero and the limit of the non-detect. Whatever the rule, a non-detect whose limit lies
above the limit itself proves nothing and keeps its bounds.
"""

from decimal import Decimal
from fractions import Fraction

from pipeline.censoring import WITHOUT_NUMBER, nondetect_limit
from pipeline.errors import ConversionError
from pipeline.screening.bounds import Bounds
from pipeline.screening.conversion import Converter
from pipeline.screening.figures import figure
from pipeline.screening.model import ScreeningResult
from pipeline.screening.terms import Term
from pipeline.vocabulary import ValueKind

ZERO_RULES = frozenset({"zero", "zero; half when gross alpha stands in"})
ZERO = Bounds.exactly(Fraction(0))
UNBOUNDED = Bounds(Fraction(0), None)
ACTIVITY_UNIT = "pCi/L"
URANIUM_ACTIVITY_PCI_PER_UG = Fraction("0.67")
"""Activity of natural uranium in water by mass [pCi/ug], the factor that 40 CFR 141.25 uses (from memory)."""

CountedValue = tuple[Bounds, str]


def counted_value(result: ScreeningResult, term: Term, convert: Converter) -> CountedValue:
    """Value a result counts with [unit and basis of the term], and what was put in its place, empty when nothing was.

    A result that cannot be brought to the term's unit is not dropped: it counts as anything from zero up, so that no
    verdict is better for not knowing it.
    """
    try:
        return _counted(result, term, convert)
    except ConversionError as error:
        return UNBOUNDED, f"cannot be brought to {term.unit or 'the unit of the limit'}: {error}"


def _counted(result: ScreeningResult, term: Term, convert: Converter) -> CountedValue:
    if result.kind in WITHOUT_NUMBER:
        return UNBOUNDED, f"{result.kind.value}: anything from 0 up"
    if result.kind is ValueKind.BELOW:
        limit = nondetect_limit(result.value, result.reporting_limit, result.detection_limit)
        if limit is None:
            return UNBOUNDED, "not detected, and no detection or reporting limit given: anything from 0 up"
        written = f"not detected below {figure(limit)} {result.unit}".rstrip()
        return nondetect_value(_in_unit(limit, result, term, convert), written, term)
    value = _in_unit(result.value, result, term, convert)
    if result.kind is ValueKind.ABOVE:
        return Bounds(value, None), f"reported as above {figure(value)} {term.unit}: that or more"
    return number_value(value, result, term, convert)


def nondetect_value(limit: Fraction, written: str, term: Term) -> CountedValue:
    """Value of a non-detect below ``limit`` [unit of the term] under the term's rule.

    Examples
    --------
    >>> from pipeline.screening.terms import Term
    >>> edb = Term("Ethylene dibromide (EDB)", Fraction(1), "mg/L", "", (), "", None, False, "zero", None,
    ...            Fraction("0.00005"), True)
    >>> nondetect_value(Fraction("0.00001"), "not detected below 0.01 ug/L", edb)
    (Bounds(low=Fraction(0, 1), high=Fraction(0, 1)), 'not detected below 0.01 ug/L: counts as 0')
    >>> nondetect_value(Fraction("0.0001"), "not detected below 0.1 ug/L", edb)[0].high
    Fraction(1, 10000)
    """
    if not term.not_above:
        return Bounds(Fraction(0), limit), f"{written}: between 0 and that"
    if term.insensitive_above is not None and limit > term.insensitive_above:
        return Bounds(Fraction(0), limit), f"{written}, which is above the limit itself: between 0 and that"
    if term.nondetect_rule in ZERO_RULES:
        return ZERO, f"{written}: counts as 0"
    if term.level is not None and limit <= term.level:
        return ZERO, f"{written}: counts as 0"
    return Bounds(Fraction(0), limit), f"{written}: between 0 and that"


def number_value(value: Fraction, result: ScreeningResult, term: Term, convert: Converter) -> CountedValue:
    """Value of a measured number under the term's rule [unit of the term]."""
    if term.not_above and term.nondetect_rule in ZERO_RULES and result.detection_limit is not None:
        detection_limit = _in_unit(result.detection_limit, result, term, convert)
        if value < detection_limit:
            written = f"{figure(value)} is below the detection limit {figure(detection_limit)} {term.unit}"
            return nondetect_value(detection_limit, written, term)
    if term.level is None or value >= term.level or not term.not_above:
        return Bounds.exactly(value), ""
    if term.nondetect_rule == "zero below practical quantitation level":
        level = f"the practical quantitation level {figure(term.level)} {term.unit}"
        return ZERO, f"{figure(value)} is below {level}: counts as 0"
    if term.nondetect_rule == "zero below state reporting limit":
        level = f"the reporting limit of the state {figure(term.level)} {term.unit}"
        return Bounds(min(Fraction(0), value), value), f"{figure(value)} is below {level}: between 0 and that"
    return Bounds.exactly(value), ""


def stand_in_value(result: ScreeningResult, term: Term, convert: Converter) -> CountedValue | None:
    """Value with which a stand-in counts [unit of the term]; ``None`` when it may not stand in.

    The largest value up to which it may stand in is an activity [pCi/L]. A detected gross alpha is used whole, a
    non-detect as one half of its detection limit (40 CFR 141.26(c)(3)(v)).
    """
    detected = result.kind is ValueKind.NUMBER
    if not detected and result.kind is not ValueKind.BELOW:
        return None
    limit = result.detection_limit if result.detection_limit is not None else result.value
    measured = result.value if detected else limit
    if measured is None:
        return None
    try:
        activity = convert(
            Fraction(measured),
            analyte=result.analyte,
            from_unit=result.unit,
            from_basis=result.basis,
            to_unit=ACTIVITY_UNIT,
            to_basis="",
        )
        whole = _activity_in_unit(activity, term, convert)
    except ConversionError:
        return None
    if term.stand_in_max is not None and activity > term.stand_in_max:
        return None
    name = f"{result.analyte} stands for {term.analyte}"
    if detected:
        return Bounds.exactly(whole), f"{name}: used whole"
    if term.nondetect_rule == "zero; half when gross alpha stands in":
        return Bounds.exactly(whole / 2), f"{name}, not detected: one half of its detection limit {figure(whole)}"
    return nondetect_value(whole, f"{name}, not detected below {figure(whole)} {term.unit}", term)


def _activity_in_unit(activity: Fraction, term: Term, convert: Converter) -> Fraction:
    """Activity of a stand-in [pCi/L] as a value of the term [unit of the term]."""
    if term.unit == ACTIVITY_UNIT:
        return activity
    if term.analyte != "Uranium":
        raise ConversionError(f"an activity says nothing about {term.analyte} in {term.unit}.")
    return convert(
        activity / URANIUM_ACTIVITY_PCI_PER_UG,
        analyte=term.analyte,
        from_unit="ug/L",
        from_basis="",
        to_unit=term.unit,
        to_basis=term.basis,
    )


def _in_unit(value: Decimal | None, result: ScreeningResult, term: Term, convert: Converter) -> Fraction:
    if value is None:
        raise ConversionError("there is no number.")
    if result.unit == term.unit and result.basis == term.basis:
        return Fraction(value)
    return convert(
        Fraction(value),
        analyte=term.analyte,
        from_unit=result.unit,
        from_basis=result.basis,
        to_unit=term.unit,
        to_basis=term.basis,
    )
