"""The parts of the page on what is due: its selectors, its table, the question list of each laboratory."""

from collections import Counter
from collections.abc import Sequence
from datetime import date
from typing import Final

import polars as pl
import streamlit as st

from app import figures, question_lists
from app.dashboard import controls, data, verdict_rows
from app.due_rows import DueRow
from app.question_lists import QuestionList
from app.words import plain
from pipeline.due.model import Due, DueState
from pipeline.due.questions import Subject, questions
from pipeline.what_is_due import WhatIsDue

OPEN: Final = "everything open"
EVERY_POINT: Final = "every sample point"
EVERY_LABORATORY: Final = "every laboratory"
MOST_READ: Final = 30
LONGEST_REASON: Final = 70
_WORKBOOK: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

# Solid color means that somebody has to do something; what is not known yet is violet, as everywhere.
_COLORS: Final = {
    DueState.CONFIRM: "red",
    DueState.RESAMPLE: "red",
    DueState.OVERDUE: "red",
    DueState.LATE: "yellow",
    DueState.HELD: "violet",
    DueState.PRELIMINARY: "violet",
    DueState.MISSED: "gray",
    DueState.REPORTED: "gray",
}


_COUNTED: Final = {
    Subject.LATE: ("late report", "late reports"),
    Subject.HELD: ("held cell", "held cells"),
    Subject.RESAMPLE: ("re-sample", "re-samples"),
    Subject.OTHER_POINT: ("sample from another point", "samples from another point"),
    Subject.PRELIMINARY: ("preliminary report", "preliminary reports"),
}


def pick_state(dues: Sequence[Due]) -> str:
    """Let a person choose one state; empty for everything that is open."""
    present = {due.state for due in dues}
    options = [OPEN, *(state.value for state in DueState if state in present)]
    picked = controls.pick("Show", "state", options, figures.sentence)
    return "" if picked == OPEN else picked


def pick_point(dues: Sequence[Due]) -> str:
    """Let a person choose a sample point, in the order of the water; empty for all."""
    present = {due.sample_point for due in dues}
    options = [EVERY_POINT, *(point for point in data.plant().sample_points if point in present)]
    picked = controls.pick("Sample point", "point", options, lambda one: _sentence_or_name(one))
    return "" if picked == EVERY_POINT else picked


def pick_laboratory(dues: Sequence[Due]) -> str:
    """Let a person choose a laboratory; empty for all."""
    options = [EVERY_LABORATORY, *sorted({due.laboratory for due in dues if due.laboratory})]
    picked = controls.pick("Laboratory", "laboratory", options, figures.sentence)
    return "" if picked == EVERY_LABORATORY else picked


def how_to_plan() -> None:
    """How a plant says what it samples."""
    st.markdown(
        "Without monitoring\\_plan.csv in the plant folder nothing can be overdue. Samples of custody sheets are still "
        "followed until their report comes."
    )


def table(rows: Sequence[DueRow], on: date) -> None:
    """What is due, the most urgent first; all of it as a file to take away."""
    if not rows:
        st.markdown("Nothing here is open.")
        return
    alt = f"{figures.plural(len(rows), 'line')} of what is due, the most urgent first"
    st.table(_to_read(rows[:MOST_READ]), border="horizontal", hide_index=True, alt=alt)
    if len(rows) > MOST_READ:
        more = figures.whole(len(rows) - MOST_READ)
        st.markdown(f"{more} more: choose what to show, or open the whole table.")
    with st.popover("Table and download", icon=":material/table:", type="tertiary"):
        taken = _to_take(rows)
        st.dataframe(taken, hide_index=True, row_height=30, alt=alt)
        st.download_button("Download as CSV", taken.write_csv(), f"due_{on.isoformat()}.csv", "text/csv")


def ask_laboratories(found: WhatIsDue, laboratory: str) -> None:
    """Each laboratory with its questions, to be sent as a workbook or as a text."""
    asked = questions(found.dues, found.held, found.other_points)
    lists = [
        QuestionList(data.plant().name, name, found.on, some)
        for name, some in asked.items()
        if not laboratory or name == laboratory
    ]
    number = sum(len(one.questions) for one in lists)
    if not number:
        st.subheader("Nothing to ask a laboratory", anchor=False)
        return
    whom = figures.plural(len(lists), "laboratory", "laboratories")
    st.subheader(f"{figures.plural(number, 'question')} to {whom}", anchor=False)
    names = question_lists.file_names([one.laboratory for one in lists], found.on)
    for one in lists:
        _offer(one, names[one.laboratory])


def _offer(asked: QuestionList, name: str) -> None:
    counted = Counter(question.subject for question in asked.questions)
    about = figures.joined(figures.plural(number, *_COUNTED[subject]) for subject, number in counted.items())
    with st.container(horizontal=True, vertical_alignment="center"):
        st.markdown(f"**{plain(asked.laboratory)}**: {plain(about)}", width="content")
        st.download_button("Workbook", question_lists.workbook(asked), f"{name}.xlsx", _WORKBOOK, key=f"{name} xlsx")
        st.download_button("Text", question_lists.text(asked), f"{name}.txt", "text/plain", key=f"{name} txt")


def prompt() -> None:
    """What the page is, and what it is not."""
    st.markdown(
        ":small[:gray[A prompt, not a ruling: check frequencies, confirmations and dates with the rule and the agency. "
        "Periods are those of the calendar in the plant’s own zone.]]"
    )


def _sentence_or_name(option: str) -> str:
    return figures.sentence(option) if option == EVERY_POINT else controls.point_name(option)


def _state(row: DueRow) -> str:
    words, color = plain(figures.sentence(row.state.value)), _COLORS.get(row.state)
    return f":{color}[{words}]" if color else words


def _to_read(rows: Sequence[DueRow]) -> pl.DataFrame:
    cells = [
        (
            _state(row),
            plain(row.when(figures.day)),
            plain(controls.point_name(row.sample_point)),
            plain(row.named()),
            plain(row.plan),
            plain(_sample(row)),
            plain(row.laboratory),
            plain(verdict_rows.shortened(row.reason, LONGEST_REASON)),
        )
        for row in rows
    ]
    columns = ["State", "When", "Sample point", "Analytes", "Plan", "Sample", "Laboratory", "Why"]
    return pl.DataFrame(cells, schema=dict.fromkeys(columns, pl.String), orient="row")


def _day(day: date | None) -> str:
    return day.isoformat() if day else ""


def _sample(row: DueRow) -> str:
    collected = f", {figures.day(row.collected_on)}" if row.collected_on else ""
    return f"{row.sample}{collected}" if row.sample else ""


def _to_take(rows: Sequence[DueRow]) -> pl.DataFrame:
    cells = [
        (
            row.state.value,
            _day(row.due_by),
            _day(row.since),
            row.sample_point,
            "; ".join(row.analytes),
            row.plan,
            row.sample,
            _day(row.collected_on),
            _day(row.received_on),
            row.laboratory,
            row.reason,
            row.file,
            row.line,
        )
        for row in rows
    ]
    schema = {
        "State": pl.String, "Due by": pl.String, "Since": pl.String, "Sample point": pl.String, "Analytes": pl.String,
        "Plan": pl.String, "Sample": pl.String, "Collected": pl.String, "Received": pl.String, "Laboratory": pl.String,
        "Why": pl.String, "File": pl.String, "Line": pl.Int64,
    }  # fmt: skip
    return pl.DataFrame(cells, schema=schema, orient="row")
