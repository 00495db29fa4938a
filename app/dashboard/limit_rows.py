"""Limits as rows, and which of them a person asked for."""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from datetime import date
from typing import Final

import polars as pl
import streamlit as st

from app import figures
from pipeline.plant.limits import Standing, standing
from pipeline.plant.plant import Plant
from pipeline.plant.tables import Limit, SourceStatus

ANY: Final = "any"
JUDGED: Final = "judged today"
NOT_JUDGED: Final = "not judged"
YES: Final = "yes"

# What a figure rests on, worst first: the reader should confirm these before relying on a verdict.
TRUST: Final = {
    SourceStatus.MEMORY: "from memory",
    SourceStatus.CHECKED: "from memory, checked",
    SourceStatus.COMPUTED: "computed",
    SourceStatus.PLANT: "stated by the plant",
    SourceStatus.READ: "read in the source",
}

COLUMNS: Final = {
    "Analyte": st.column_config.TextColumn(width="medium"),
    "Limit": st.column_config.TextColumn(alignment="right"),
    "Source and note": st.column_config.TextColumn(width="large"),
}


def standings(plant: Plant, judged: Collection[str], on: date) -> dict[str, str]:
    """Whether each limit is judged on a day, and why it is not; ``judged`` are those that have a verdict."""
    return {limit.limit_id: _standing(plant, limit, limit.limit_id in judged, on) for limit in plant.limits}


def headline(limits: Sequence[Limit], standing_of: Mapping[str, str]) -> str:
    """How many limits there are and how many are judged."""
    number = sum(standing_of[limit.limit_id] == YES for limit in limits)
    return f"{figures.whole(number)} of {figures.plural(len(limits), 'limit')} {'is' if number == 1 else 'are'} judged"


def kinds(limits: Sequence[Limit]) -> list[str]:
    """Kinds that occur."""
    return sorted({limit.kind for limit in limits})


def jurisdictions(limits: Sequence[Limit]) -> list[str]:
    """Jurisdictions that occur, in the order of the table."""
    return list(dict.fromkeys(limit.jurisdiction for limit in limits))


def matching(
    limits: Sequence[Limit], standing_of: Mapping[str, str], *, kind: str, whose: str, state: str, sought: str
) -> list[Limit]:
    """Limits that fit every choice; ``sought`` is looked for in name, CAS number, id, source and note."""
    words = sought.casefold().split()
    return [
        limit
        for limit in limits
        if kind in (ANY, limit.kind)
        and whose in (ANY, limit.jurisdiction)
        and (state == ANY or (standing_of[limit.limit_id] == YES) == (state == JUDGED))
        and all(word in _text(limit) for word in words)
    ]


def trust(limits: Sequence[Limit]) -> str:
    """How many figures rest on what; those from memory first."""
    counted = Counter(limit.source_status for limit in limits)
    parts = [f"{figures.whole(counted[status])} {said}" for status, said in TRUST.items() if counted[status]]
    total = f"**{figures.plural(len(limits), 'limit')}** shown: {', '.join(parts)}."
    caution = (
        " Confirm a figure from memory in its source before you rely on it." if counted[SourceStatus.MEMORY] else ""
    )
    return total + caution


def table(limits: Sequence[Limit], standing_of: Mapping[str, str]) -> pl.DataFrame:
    """One row a limit."""
    rows = [_row(limit, standing_of[limit.limit_id]) for limit in limits]
    return pl.DataFrame(rows, schema=dict.fromkeys(_COLUMNS, pl.String), orient="row")


_COLUMNS = (
    "Analyte",
    "Limit",
    "Kind",
    "Statistic",
    "Applies at",
    "Judged",
    "Jurisdiction",
    "In force",
    "Figure",
    "Source and note",
)


def _row(limit: Limit, judged: str) -> tuple[str, ...]:
    number = figures.limit_text(limit)
    at_least = "≥ " if limit.direction == "not below" and number else ""
    return (
        limit.analyte,
        at_least + number,
        limit.kind,
        limit.statistic,
        limit.applies_at,
        judged,
        limit.jurisdiction,
        _in_force(limit),
        TRUST[limit.source_status],
        " ".join(part for part in (limit.source, limit.note) if part),
    )


def _standing(plant: Plant, limit: Limit, has_verdict: bool, on: date) -> str:
    state = standing(plant, limit, on)
    if state is not Standing.JUDGED:
        return f"no: {state.value}"
    return YES if has_verdict else "no: no sample point of its kind"


def _in_force(limit: Limit) -> str:
    since = f"from {limit.effective_from.isoformat()}" if limit.effective_from else ""
    until = f"until {limit.effective_to.isoformat()}" if limit.effective_to else ""
    return " ".join(part for part in (since, until) if part)


def _text(limit: Limit) -> str:
    return " ".join((limit.analyte, limit.cas_number, limit.limit_id, limit.source, limit.note)).casefold()
