"""What a person picks on the page of trends; the address is its only memory."""

from collections.abc import Sequence
from datetime import date
from typing import Final

import streamlit as st

from app import trend_rows, words
from app.dashboard import controls, data
from pipeline.screening.model import Verdict
from pipeline.store.series_results import SeriesThereIs
from pipeline.trends.model import Measure

MOST_POINTS: Final = 4
OVER_TIME: Final = "over time"
YEARS: Final = "years side by side"
LINEAR: Final = "from zero"
LOGARITHMIC: Final = "logarithmic"
VALUES_ALONE: Final = "from zero, values alone"
AXES: Final = (LINEAR, VALUES_ALONE, LOGARITHMIC)
BEGINNING: Final = "first results"
NOW: Final = "latest"

_POINTS: Final = "pick points"


def pick_analyte(there_are: Sequence[SeriesThereIs], verdicts: Sequence[Verdict]) -> str:
    """Let a person choose an analyte that has results; first the one with the worst verdict."""
    names = list(dict.fromkeys(one.analyte for one in there_are))
    worst = next((one.limit.analyte for one in words.worst_first(verdicts) if one.limit.analyte in names), "")
    ordered = [worst, *(name for name in names if name != worst)] if worst else names
    return controls.pick("Analyte", "analyte", ordered)


def pick_points(there_are: Sequence[SeriesThereIs], analyte: str) -> tuple[str, ...]:
    """Let a person choose up to four sample points, in the order of the water; unsaid, the finished water."""
    with_results = {one.sample_point for one in there_are if one.analyte == analyte}
    known = data.plant().sample_points
    options = [code for code in known if code in with_results] + sorted(with_results - set(known))
    said = [code for code in st.query_params.get_all("point") if code in options][:MOST_POINTS]
    finished = [code for code in options if code in known and known[code].place == controls.FINISHED]
    chosen = said or finished[:MOST_POINTS] or options[:1]
    st.session_state[_POINTS] = [code for code in options if code in chosen]
    st.multiselect(
        f"Sample points, at most {MOST_POINTS}",
        options,
        format_func=controls.point_name,
        max_selections=MOST_POINTS,
        key=_POINTS,
        on_change=_write_points,
    )
    return tuple(st.session_state[_POINTS])


def pick_years(there_are: Sequence[SeriesThereIs], analyte: str, on: date) -> tuple[date | None, date]:
    """Let a person choose the first and the last year; unsaid, everything up to the day of evaluation."""
    days = [day for one in there_are if one.analyte == analyte for day in (one.first, one.last)]
    span = range(min(days, default=on).year, on.year + 1)
    first_slot, last_slot = st.columns(2)
    with first_slot:
        first = controls.pick("From", "from", [BEGINNING, *(str(year) for year in span)])
    with last_slot:
        last = controls.pick("To the end of", "to", [NOW, *(str(year) for year in reversed(span))])
    begins = None if first == BEGINNING else date(int(first), 1, 1)
    ends = on if last == NOW else min(on, date(int(last), 12, 31))
    return begins, ends


def pick_measure(possible: Sequence[Measure]) -> Measure | None:
    """Let a person choose the unit; ``None`` where there is only one or none."""
    if not possible:
        return None
    names = {trend_rows.measure_text(one): one for one in possible}
    return names[controls.pick("Unit", "unit", list(names))]


def pick_fraction(fractions: Sequence[str]) -> str | None:
    """Let a person choose total or dissolved, where both were reported; ``None`` where there is nothing to choose."""
    if len(fractions) < 2:
        return None
    return controls.pick("Fraction", "fraction", list(fractions), lambda one: one or "not said")


def _write_points() -> None:
    picked = list(st.session_state[_POINTS])
    if picked:
        st.query_params["point"] = picked
    else:
        st.query_params.pop("point", None)
