"""What an unknown name, unit or sample point most likely means: to be asked of a person, never to be used by itself.

One meaning is offered as the likely one only where a wrong choice can hardly be made. Between isomers, fractions, bases
or units of another size every meaning is listed with its reason, none is preferred, and the doubt is said.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches
from enum import StrEnum
from typing import Final

from pipeline.errors import ConversionError
from pipeline.plant.names import fraction_words, valid_cas_number
from pipeline.plant.plant import Plant
from pipeline.plant.shipped_names import folded
from pipeline.plant.tables import Analyte
from pipeline.plant.telling_parts import can_be_a_slip, can_be_a_slip_of_a_place, likeness, telling_words

MOST_MEANINGS: Final = 4
_NEAR: Final = 0.75
_UNIT_DOUBT: Final = "A wrong unit makes every value wrong by its factor: choose it as the laboratory states it."
_CONTRADICTS: Final = 0.85
_CLEARLY_NEARER: Final = 0.03
_PER_LITER: Final = re.compile(r"[\s.\u00b7]*\b[lL]\s*\^?\s*-1$|\s*(?:/|per)\s*lit(?:er|re)s?$")


class Missing(StrEnum):
    """What a plant folder does not know yet of a held cell."""

    ANALYTE = "analyte"
    POINT = "sample point"
    UNIT = "unit"
    BASIS = "basis"
    REPORTING_LIMIT = "reporting limit"
    CONDITION = "detection condition"


@dataclass(frozen=True, slots=True)
class Unknown:
    """One text that holds cells of one sender, and what stands beside it in these cells.

    Attributes
    ----------
    as_written
        The text; for a basis or a reporting limit that is missing the name of the analyte as the sender writes it.
    analytes
        Analytes of the cells, where they are known.
    cas_numbers, units, fractions, samples
        Texts that stand beside it; ``samples`` are our own sample identifiers.
    """

    missing: Missing
    sender: str
    as_written: str
    analytes: frozenset[str] = frozenset()
    cas_numbers: frozenset[str] = frozenset()
    units: frozenset[str] = frozenset()
    fractions: frozenset[str] = frozenset()
    samples: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Meaning:
    """One thing that an unknown text can mean, and why it is thought to."""

    means: str
    reason: str
    implied_basis: str = ""
    implied_fraction: str = ""

    def __str__(self) -> str:
        return ", ".join(part for part in (self.means, self.implied_basis, self.implied_fraction) if part)


@dataclass(frozen=True, slots=True)
class Suggestion:
    """What an unknown text can mean, the likeliest first.

    ``likely`` is the meaning that may be accepted without a second thought; ``None`` where the choice is a person's,
    and ``doubt`` then says why.
    """

    unknown: Unknown
    meanings: tuple[Meaning, ...]
    likely: Meaning | None = None
    doubt: str = ""


def suggest(unknown: Unknown, plant: Plant) -> Suggestion:
    """What an unknown text can mean in a plant.

    Examples of what is never preferred: nitrate as N to nitrate, a dissolved metal to the metal, PFOS for "PFOSA", mg/L
    for "mg".
    """
    match unknown.missing:
        case Missing.ANALYTE:
            return _analyte(unknown, plant)
        case Missing.POINT:
            return _point(unknown, plant)
        case Missing.UNIT:
            return _unit(unknown, plant)
        case Missing.BASIS:
            return _basis(unknown, plant)
    return Suggestion(unknown, (), doubt="Only the sender knows: ask, and write the answer down.")


def _analyte(unknown: Unknown, plant: Plant) -> Suggestion:
    named = plant.names.analyte(unknown.as_written, sender=unknown.sender)
    by_number, number_doubt = _by_cas_number(unknown, plant)
    by_parts = list(_by_parts(unknown, plant))
    by_spelling, spelling_doubt = _by_spelling(unknown, plant)
    if named.problem and named.found_in:  # stopped: two people would read it differently
        meanings = _distinct([*by_number, *(_by_word(unknown, plant) or by_spelling)], plant)
        return Suggestion(unknown, meanings, doubt=named.problem)
    meanings = _distinct([*by_number, *by_parts, *by_spelling], plant)
    likely = _only([meaning for meaning in (*by_number, *by_parts) if not number_doubt]) or (
        None if spelling_doubt or by_number else _only(by_spelling[:1])
    )
    doubt = number_doubt or spelling_doubt or ("" if meanings else "Nothing that is known is written alike.")
    if likely:
        likely, doubt = _usable(likely, unknown, plant)
    elif not doubt:
        doubt = "More than one meaning is possible."
    return Suggestion(unknown, meanings, likely if likely in meanings else None, "" if likely in meanings else doubt)


def _usable(likely: Meaning, unknown: Unknown, plant: Plant) -> tuple[Meaning | None, str]:
    """The likely meaning, unless its analyte needs a basis that nothing says, or its units do not fit."""
    analyte = plant.analytes[likely.means]
    for text in sorted(unknown.units):
        unit = plant.names.unit(text, unknown.sender)
        if unit.unit is None:
            continue
        if plant.units.needs_basis(likely.means, unit.dimension) and not (likely.implied_basis or unit.implied_basis):
            return None, f"{likely.means} means nothing without its basis: choose it as the laboratory states it."
        basis = likely.implied_basis or unit.implied_basis or analyte.default_basis
        if not _converts(plant, analyte, unit.unit, basis):
            return None, f"{likely.means} is not measured in {text}."
    return likely, ""


def _converts(plant: Plant, analyte: Analyte, unit: str, basis: str) -> bool:
    try:
        plant.units.conversion(analyte.analyte, unit, basis, analyte.canonical_unit, analyte.canonical_basis)
    except ConversionError:
        return False
    return True


def _by_cas_number(unknown: Unknown, plant: Plant) -> tuple[list[Meaning], str]:
    """Analytes with the CAS number that is printed beside the name, and why none of them may be taken for granted."""
    numbers = {number.strip().lstrip("0") for number in unknown.cas_numbers if valid_cas_number(number)}
    owners = [row for row in plant.analytes.values() if row.cas_number in numbers]
    meanings = [Meaning(row.analyte, f"CAS number {row.cas_number} is printed beside it") for row in owners]
    if not meanings:
        return [], ""
    if len(owners) > 1:
        return meanings, f"{' and '.join(row.analyte for row in owners)} have the CAS numbers printed beside it."
    narrower = telling_words(unknown.as_written) - _known_words(owners[0].analyte, plant)
    if narrower:
        said = ", ".join(sorted(narrower))
        return meanings, f"The CAS number is that of {owners[0].analyte}, but the name says more: {said}."
    spellings = plant.names.analyte_spellings
    near = get_close_matches(folded(unknown.as_written), spellings, n=1, cutoff=_CONTRADICTS)
    if near and spellings[near[0]] != owners[0].analyte:
        return (
            meanings,
            f'The CAS number is that of {owners[0].analyte}, but the name is written much like "{near[0]}".',
        )
    return meanings, ""


def _known_words(analyte: str, plant: Plant) -> frozenset[str]:
    spellings = [text for text, means in plant.names.analyte_spellings.items() if means == analyte]
    return frozenset[str]().union(*(telling_words(text) for text in spellings))


def _by_parts(unknown: Unknown, plant: Plant) -> Iterator[Meaning]:
    """A known name with its fraction, basis or unit written behind it: ``Iron (dissolved)``, ``Nitrate [as N]``."""
    pieces = [piece for piece in _pieces(unknown.as_written) if piece]
    if len(pieces) < 2:
        return
    fraction = basis = ""
    for piece in pieces[1:]:
        if len(piece) > 1 and not fraction and fraction_words(piece):
            fraction = fraction_words(piece)
        elif piece.casefold().startswith("as ") and not basis and plant.units.resolve_basis(piece):
            basis = plant.units.resolve_basis(piece) or ""
        elif plant.units.resolve(piece).unit is None:
            return
    named = plant.names.analyte(pieces[0], sender=unknown.sender, fraction=fraction)
    agrees = not (named.implied_basis and basis and named.implied_basis != basis)
    if named.analyte and agrees:
        reason = (
            f"{named.analyte} is known, and the rest says {' and '.join(filter(None, (fraction, basis))) or 'its unit'}"
        )
        yield Meaning(named.analyte, reason, basis or named.implied_basis, fraction or named.implied_fraction)


def _pieces(text: str) -> list[str]:
    for mark in "()[];":
        text = text.replace(mark, ",")
    return [" ".join(piece.split()) for piece in text.split(",")]


def _by_spelling(unknown: Unknown, plant: Plant) -> tuple[list[Meaning], str]:
    """Analytes whose names are written alike, the nearest first, and why the nearest may not be taken for granted."""
    written = folded(unknown.as_written)
    known = plant.names.analyte_spellings
    nearest: dict[str, tuple[float, str]] = {}
    for spelling in get_close_matches(written, known, n=12, cutoff=_NEAR):
        score = likeness(written, spelling)
        if score > nearest.get(known[spelling], (0.0, ""))[0]:
            nearest[known[spelling]] = score, spelling
    ranked = sorted(nearest.items(), key=lambda item: -item[1][0])
    meanings = [Meaning(means, f'written much like "{spelling}"') for means, (_, spelling) in ranked]
    if not ranked:
        return [], ""
    (_, (best, spelling)), *others = ranked
    stopped = get_close_matches(written, plant.names.stopped, n=1, cutoff=best)
    if stopped:
        return meanings, f'It is also written like "{stopped[0]}", which means something else or nothing certain.'
    if not can_be_a_slip(written, spelling):
        return meanings, f'It differs from "{spelling}" in a part that can tell one substance from another.'
    if others and others[0][1][0] > best - _CLEARLY_NEARER:
        return meanings, f"{ranked[0][0]} and {others[0][0]} are written almost equally alike."
    return meanings, ""


def _by_word(unknown: Unknown, plant: Plant) -> list[Meaning]:
    """Analytes that hold the words of a name which does not say enough: ``Chlorine`` is free or total."""
    words = set(folded(unknown.as_written).split())
    fitting = [name for name in plant.analytes if words <= set(folded(name).replace(",", " ").split())]
    return [Meaning(name, "one of those that the name can mean") for name in sorted(fitting, key=len)]


def _point(unknown: Unknown, plant: Plant) -> Suggestion:
    logged = {plant.sample_log[name].sample_point for name in unknown.samples if name in plant.sample_log}
    by_log = [Meaning(point, "the sample log says so for the samples of these cells") for point in sorted(logged)]
    spellings = {
        folded(text): row.sample_point for row in plant.sample_points.values() for text in (row.sample_point, row.name)
    }
    near = get_close_matches(folded(unknown.as_written), spellings, n=MOST_MEANINGS, cutoff=0.6)
    by_spelling = [Meaning(spellings[text], f'written much like "{text}"') for text in near]
    meanings = tuple(_once([*by_log, *by_spelling])[:MOST_MEANINGS])
    everything_logged = unknown.samples and all(name in plant.sample_log for name in unknown.samples)
    if len(logged) == 1 and everything_logged:
        return Suggestion(unknown, meanings, by_log[0])
    if len(logged) > 1:
        return Suggestion(unknown, meanings, doubt="The sample log names several sample points for these cells.")
    slips = [text for text in near if can_be_a_slip_of_a_place(unknown.as_written, text)]
    if not logged and len({spellings[text] for text in slips}) == 1 and slips[0] == near[0]:
        return Suggestion(unknown, meanings, by_spelling[0])
    return Suggestion(unknown, meanings, doubt="Nothing says for sure where these samples were taken.")


def _unit(unknown: Unknown, plant: Plant) -> Suggestion:
    """Units written alike, then those in which the analytes are measured; one of another size is never preferred."""
    bare = _bare_unit(unknown.as_written)
    same = [text for text in plant.units.spellings if _bare_unit(text) == bare]
    units = {(match.unit, match.implied_basis) for match in map(plant.units.resolve, same)}
    by_spelling = [
        Meaning(unit, f'the same letters as "{same[0]}"', basis) for unit, basis in sorted(units, key=str) if unit
    ]
    by_analyte = [
        Meaning(unit, f"{name} is measured in it")
        for name in sorted(unknown.analytes & plant.analytes.keys())
        for unit in (plant.analytes[name].canonical_unit, *plant.analytes[name].also_accepted_units)
    ]
    problem = plant.names.unit(unknown.as_written, unknown.sender).problem
    meanings = tuple(_once([*by_spelling, *by_analyte])[:MOST_MEANINGS])
    ambiguous = "ambiguous" in problem or "decide" in problem
    if len(by_spelling) == 1 and not ambiguous:
        return Suggestion(unknown, meanings, by_spelling[0])
    return Suggestion(unknown, meanings, doubt=problem if ambiguous else _UNIT_DOUBT)


def _bare_unit(text: str) -> str:
    """A unit without blanks, dots and brackets, with one sign for micro and one word for "per"."""
    text = text.replace("\u00b5", "u").replace("\u03bc", "u")
    text = _PER_LITER.sub("/L", text).replace(" per ", "/").replace(" in ", "/")
    return "".join(sign for sign in text if sign.isalnum() or sign in "/%#^-").casefold()


def _basis(unknown: Unknown, plant: Plant) -> Suggestion:
    meanings = [
        Meaning(analyte, "if the laboratory reports it so", basis)
        for analyte in sorted(unknown.analytes)
        for basis in plant.units.bases_of(analyte)
    ]
    doubt = "The bases differ by a factor, as nitrate does by 4.43: only the laboratory knows which one it reports."
    return Suggestion(unknown, tuple(meanings), doubt=doubt)


def _only(meanings: Iterable[Meaning]) -> Meaning | None:
    found = list(meanings)
    return (
        found[0]
        if len({(meaning.means, meaning.implied_basis, meaning.implied_fraction) for meaning in found}) == 1
        else None
    )


def _distinct(meanings: Iterable[Meaning], plant: Plant) -> tuple[Meaning, ...]:
    """Each meaning once; an analyte that needs a basis once for each basis, where none is said."""
    listed: list[Meaning] = []
    for meaning in _once(meanings)[:MOST_MEANINGS]:
        listed.append(meaning)
        if plant.analytes[meaning.means].basis_required and not meaning.implied_basis:
            listed += [replace(meaning, implied_basis=basis) for basis in plant.units.bases_of(meaning.means)]
    return tuple(_once(listed))


def _once(meanings: Iterable[Meaning]) -> list[Meaning]:
    """Each meaning with its first reason."""
    by_text: dict[str, Meaning] = {}
    for meaning in meanings:
        by_text.setdefault(str(meaning), meaning)
    return list(by_text.values())
