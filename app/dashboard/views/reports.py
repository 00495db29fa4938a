"""Reports: the finished water of a month, to look through and to take away as a workbook."""

from datetime import date

import pandas as pd  # type: ignore[import-untyped]
import streamlit as st

from app import figures, words
from app.dashboard import caution, controls, data, earlier_knowledge, states
from app.reports.month import MonthReport, finished_water_points
from app.reports.sheets import Sheet, finished_water, missing, month_name, results
from app.reports.workbook import file_name, workbook

EVERY_POINT = "the finished water"
PREVIEWED = (
    "Sample point",
    "% of limit",
    "Stands at",
    "Limit",
    "Unit",
    "Kind",
    "Results in month",
    "Non-detects",
    "Highest",
)
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def page() -> None:
    """Write the page."""
    states.stop_without_store()
    heading = st.container()
    with st.grid(3, min_column_width=150):
        slots = [st.container() for _ in range(3)]
    with slots[2]:
        earlier_knowledge.pick()
    months = _months()
    if not months:
        states.stop_when_nothing_is_loaded(data.today())
    with slots[0]:
        month = controls.pick("Month", "month", months)
    with slots[1]:
        point = controls.pick("Sample points", "point", [EVERY_POINT, *data.plant().sample_points], _point_name)
    points = finished_water_points(data.plant()) if point == EVERY_POINT else [point]
    if not points:
        with heading:
            st.title("No finished water to report", anchor=False)
        st.markdown("No sample point of this plant is marked as a finished water entry point: choose one above.")
        caution.closing_line()
        return
    report = data.month(date.fromisoformat(f"{month}-01"), tuple(points))
    with heading:
        st.title(words.plain(_title(report)), anchor=False)
    st.markdown(words.counts_markdown(row.verdict.outcome for row in report.limits))
    st.download_button(
        "Download the workbook",
        workbook(report, data.plant().zone),
        file_name(report),
        XLSX,
        icon=":material/download:",
        type="primary",
    )
    _limits(report)
    _missing(missing(report))
    _results(results(report, data.plant().zone))
    caution.closing_line(report.evaluated_on)


def _months() -> list[str]:
    """Months of which there are results, newest first."""
    there_are = data.series_there_are()
    if not there_are:
        return []
    first = min(one.first for one in there_are).replace(day=1)
    month = min(max(one.last for one in there_are), data.today()).replace(day=1)
    names = []
    while month >= first:
        names.append(month_name(month))
        month = (month.replace(day=1) - date.resolution).replace(day=1)
    return names


def _point_name(code: str) -> str:
    return code if code == EVERY_POINT else controls.point_name(code)


def _title(report: MonthReport) -> str:
    exceeding = sum(row.verdict.outcome in words.EXCEEDING for row in report.limits)
    number = figures.plural(len(report.results), "result")
    said = "no limit exceeded" if not exceeding else f"{figures.plural(exceeding, 'limit')} exceeded"
    return f"{month_name(report.first)}: {number}, {said} on {figures.day(report.evaluated_on)}"


def _limits(report: MonthReport) -> None:
    """The limits that the month has results for, or an outcome that needs a person; the workbook has all."""
    told = [row for row in report.limits if row.span.count or row.verdict.outcome in words.ABOVE]
    st.subheader("Finished water against its limits", anchor=False)
    if not told:
        st.markdown(":gray[No result of this month counts toward a limit.]")
        return
    sheet = finished_water(report)
    places = [number for number, row in enumerate(report.limits) if row in told]
    table = {"Analyte": [words.plain(str(sheet.column("Analyte")[place])) for place in places]}
    table["Verdict"] = [words.verdict_markdown(report.limits[place].verdict) for place in places]
    for name in PREVIEWED:
        cells = sheet.column(name)
        table[name] = [words.plain(_text(cells[place])) for place in places]
    st.table(
        pd.DataFrame(table), border="horizontal", hide_index=True, width=1400, alt="Limits with results of the month"
    )
    rest = len(report.limits) - len(told)
    st.markdown(f":small[:gray[{figures.plural(rest, 'limit')} without a result in this month: in the workbook.]]")


def _missing(sheet: Sheet) -> None:
    st.subheader(f"Missing and flagged: {figures.whole(len(sheet.rows))}", anchor=False)
    if sheet.rows:
        st.dataframe(_frame(sheet), hide_index=True, row_height=30, alt="What is missing, held or flagged")
    else:
        st.markdown(":gray[Nothing.]")


def _results(sheet: Sheet) -> None:
    st.subheader("Results of the month", anchor=False)
    if sheet.rows:
        st.dataframe(_frame(sheet), hide_index=True, row_height=30, alt="Results of the month")
    else:
        st.markdown(":gray[No result.]")


def _frame(sheet: Sheet) -> pd.DataFrame:
    """Texts alone, so that what is empty shows nothing."""
    rows = [[_text(cell) for cell in row] for row in sheet.rows]
    return pd.DataFrame(rows, columns=[column.heading for column in sheet.columns])


def _text(cell: object) -> str:
    return "" if cell is None else str(cell)


if __name__ == "__main__":
    page()
