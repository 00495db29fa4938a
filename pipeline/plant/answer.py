"""A person's answer to an unknown text, and the rows of ``aliases.csv`` that carry it out."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from pipeline.errors import BarrierbookError
from pipeline.plant.meanings import Missing
from pipeline.plant.plant import Plant
from pipeline.plant.tables import Alias, AliasMeaning, SourceStatus

_KIND_OF: Final = {
    Missing.ANALYTE: AliasMeaning.ANALYTE,
    Missing.BASIS: AliasMeaning.ANALYTE,
    Missing.POINT: AliasMeaning.POINT,
    Missing.UNIT: AliasMeaning.UNIT,
}
_FRACTIONS: Final = ("dissolved", "total")


@dataclass(frozen=True, slots=True)
class Answer:
    """What a written text of one sender means, as a person said.

    ``means`` is the canonical name; with ``set_aside`` it is the reason for which the cells of that analyte are not
    ours. ``effective_from`` and ``effective_to`` are inclusive days of collection, ``None`` for an open end. ``note``
    says who answered, when and why.
    """

    missing: Missing
    sender: str
    as_written: str
    means: str
    implied_basis: str = ""
    implied_fraction: str = ""
    set_aside: bool = False
    effective_from: date | None = None
    effective_to: date | None = None
    note: str = ""

    @property
    def by_alias(self) -> bool:
        """Whether a row of ``aliases.csv`` carries the answer out; the others belong to the layout."""
        return self.missing in _KIND_OF


def alias_rows(answer: Answer, plant: Plant, scope: str = "") -> list[Alias]:
    """The rows that carry an answer out, and change nothing else.

    Where the name already means something in one fraction or dimension ("Organic carbon", filtered, is the dissolved
    one), the sender's new row would come before that. Rows that keep these meanings then stand beside it.

    Parameters
    ----------
    scope
        Scope of shipped names of the sender's layout.

    Raises
    ------
    BarrierbookError
        When the answer belongs to the layout and not to ``aliases.csv``.
    """
    if not answer.by_alias:
        raise BarrierbookError(f"a {answer.missing} is no alias.", "Write it into the layout.")
    kind = AliasMeaning.SET_ASIDE if answer.set_aside else _KIND_OF[answer.missing]
    row = Alias(
        sender=answer.sender,
        as_written=answer.as_written,
        kind=kind,
        means=answer.means,
        implied_basis=answer.implied_basis,
        implied_fraction=answer.implied_fraction,
        effective_from=answer.effective_from,
        effective_to=answer.effective_to,
        source="held cells",
        source_status=SourceStatus.PLANT,
        note=answer.note,
    )
    kept = _kept_meanings(answer, plant, scope) if answer.missing is Missing.ANALYTE else ()
    return [row, *kept]


def _kept_meanings(answer: Answer, plant: Plant, scope: str) -> Iterator[Alias]:
    told_apart = [("fraction", fraction, "") for fraction in _FRACTIONS]
    told_apart += [("dimension", "", dimension) for dimension in plant.units.dimensions]
    for condition, fraction, dimension in told_apart:
        match = plant.names.analyte(
            answer.as_written, sender=answer.sender, scope=scope, fraction=fraction, dimension=dimension
        )
        if match.analyte:
            yield Alias(
                sender=answer.sender,
                as_written=answer.as_written,
                kind=AliasMeaning.ANALYTE,
                means=match.analyte,
                implied_basis=match.implied_basis,
                implied_fraction=match.implied_fraction,
                when=f"{condition}={fraction or dimension}",
                still_needs=match.still_needs,
                effective_from=answer.effective_from,
                effective_to=answer.effective_to,
                source=match.found_in,
                source_status=SourceStatus.PLANT,
                note="keeps what the name means in this case",
            )
