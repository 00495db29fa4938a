"""Trends: one analyte over years and sample points, as reported, beside the limits of its days."""

import streamlit as st

from app import trend_rows
from app.dashboard import caution, controls, data, earlier_knowledge, links, states, trend_controls, trend_parts
from pipeline.trends.assemble import assemble, fractions_of
from pipeline.trends.limit_steps import limit_steps
from pipeline.trends.measures import possible_measures


def page() -> None:
    """Write the page."""
    states.stop_without_store()
    heading = st.container()
    with st.grid(4, min_column_width=150):
        slots = [st.container() for _ in range(8)]
    with slots[6]:
        on = controls.pick_date()
    with slots[7]:
        earlier_knowledge.pick()
    verdicts = states.stop_without_verdicts(on)
    there_are = data.series_there_are()
    if not there_are:
        states.stop_when_nothing_is_loaded(on)
    with slots[0]:
        analyte = trend_controls.pick_analyte(there_are, verdicts)
    with slots[1]:
        points = trend_controls.pick_points(there_are, analyte)
    with slots[2]:
        first, last = trend_controls.pick_years(there_are, analyte, on)
    with slots[4]:
        view = controls.pick("Show", "chart", [trend_controls.OVER_TIME, trend_controls.YEARS])
    with slots[5]:
        axis = controls.pick("Axis", "axis", list(trend_controls.AXES))

    plant = data.plant()
    rows = data.series_results(analyte, points, first, last)
    with slots[3]:
        measure = trend_controls.pick_measure(possible_measures(plant, analyte, rows))
        fraction = trend_controls.pick_fraction(fractions_of(rows))
    series = assemble(plant, analyte, points, rows, first=first, last=last, measure=measure, fraction=fraction)
    steps = limit_steps(plant, analyte, points, series.measure, first, last)

    with heading:
        trend_parts.title(series)
    trend_parts.charts(
        series,
        steps,
        on,
        years=view == trend_controls.YEARS,
        axis=axis,
    )
    trend_parts.years_table(series)
    trend_parts.next_table(trend_rows.of_series(verdicts, analyte, points), on, controls.chosen_date())
    trend_parts.limits_table(series, steps, trend_rows.limits(steps, series.measure, plant))
    trend_parts.results_table(series)
    chosen = links.parameters(controls.chosen_date())
    links.page_link("**Every limit of the finished water**", links.FINISHED_WATER, chosen)
    caution.closing_line(on)


if __name__ == "__main__":
    page()
