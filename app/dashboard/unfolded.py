"""The parts of the page of one analyte."""

from collections.abc import Mapping

import polars as pl
import streamlit as st

from app import figures, headlines, words
from app.dashboard import charts, controls, data, evidence, links
from app.dashboard.series import Series
from pipeline.screening.explanation import next_text
from pipeline.screening.model import Verdict
from pipeline.screening.terms import terms_of

KEY = (
    "Dot: measured, red when beyond the number, open when it does not count. Stroke: not detected, the true value lies "
    "between its cap (the reporting limit) and zero; above a cap, it is higher than the laboratory could count."
)


def title(verdict: Verdict) -> None:
    """The verdict as a title, and where it stands."""
    st.title(words.plain(headlines.analyte(verdict)), anchor=False)
    parts = [
        words.verdict_markdown(verdict),
        words.plain(controls.statistic_words(verdict).casefold()),
        words.plain(controls.point_name(verdict.sample_point)),
        f"evaluated on {figures.day(verdict.on)}",
    ]
    if verdict.since:
        parts.insert(1, f"since {figures.day(verdict.since)}")
    st.markdown(" / ".join(parts))


def chart(verdict: Verdict) -> None:
    """Results and statistic against the limit, a key in words, and the same as a table to take away."""
    shown = evidence.shown_series(verdict)
    name = verdict.limit.analyte
    unit = figures.unit_text(shown.unit)
    what = f"Results and {shown.statistic_name}" if shown.statistic else "Results"
    st.markdown(f"**{words.plain(what)}**{', ' + words.plain(unit) if unit else ''}")
    if not shown.points and not shown.statistic:
        st.markdown(f"No result of {words.plain(name)} that could be drawn was collected here up to this day.")
        return
    st.altair_chart(charts.analyte_chart(shown), alt=charts.analyte_description(name, shown), theme="streamlit")
    step = f" Dark step: {words.plain(shown.statistic_name)}, holds until the next period." if shown.statistic else ""
    st.markdown(f":small[:gray[{KEY}{step}]]")
    _table_and_download(verdict, shown)


def _table_and_download(verdict: Verdict, shown: Series) -> None:
    rows = evidence.drawn_rows(shown)
    with st.popover("Table and download", icon=":material/table:", type="tertiary"):
        st.dataframe(rows, hide_index=True, row_height=30, alt="The values of the chart")
        file = f"{verdict.limit.limit_id}_{verdict.sample_point}_{verdict.on.isoformat()}.csv"
        st.download_button("Download as CSV", rows.write_csv(), file, "text/csv")


def arithmetic(verdict: Verdict) -> None:
    """How the verdict was reached, step by step, and what the next result may be."""
    st.markdown("**How the verdict was reached**")
    rows = [
        (str(number), words.plain(step.what), words.plain(step.how)) for number, step in enumerate(verdict.steps, 1)
    ]
    if rows:
        table = pl.DataFrame(rows, schema=["number", "what", "how"], orient="row")
        st.table(table, border="horizontal", hide_index=True, hide_header=True)
    if verdict.reason:
        st.markdown(f"{words.symbol_markdown(verdict.outcome)} {words.plain(figures.sentence(verdict.reason))}")
    if verdict.next_assumes:
        note = f" :small[:gray[({words.plain(verdict.next_assumes)})]]"
        st.markdown(f"{words.plain(figures.sentence(next_text(verdict)))}.{note}")
    if verdict.next_action:
        st.markdown(f"Next: {words.plain(verdict.next_action)}")
    _link_to_trend(verdict)
    for cell in verdict.held:
        place = f"{cell.file}, line {cell.line}, column {cell.column}"
        st.markdown(f":violet[**?** held]: {words.plain(cell.reason)} :small[:gray[{words.plain(place)}]]")


def _link_to_trend(verdict: Verdict) -> None:
    """Lead to the years of the analyte; for a limit on a group to those of its first member with results."""
    there_are = {one.analyte for one in data.series_there_are() if one.sample_point == verdict.sample_point}
    name = next((name for name in terms_of(verdict.limit).own_analytes if name in there_are), "")
    if name:
        given = links.parameters(controls.chosen_date(), analyte=name, point=verdict.sample_point)
        links.page_link(f"**{words.plain(name)}: years and other sample points**", links.TREND, given)


def source_rows(verdict: Verdict, findings: Mapping[int, str], at_sampling: Mapping[str, str] | None = None) -> None:
    """The results behind a verdict, each with its way back to the file."""
    st.markdown("**Results behind it**, newest first")
    rows = evidence.source_rows(verdict, findings, at_sampling)
    if not rows.height:
        st.markdown(":gray[No result.]")
        return
    st.dataframe(
        rows,
        hide_index=True,
        row_height=30,
        alt=f"{figures.plural(rows.height, 'result')} behind the verdict, newest first",
        column_config={"Value": st.column_config.TextColumn(alignment="right")},
    )
