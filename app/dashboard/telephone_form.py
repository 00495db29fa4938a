"""The form for a result told by telephone: it becomes a file of one line, and goes the way of every file."""

from typing import Final

import streamlit as st

from app.dashboard import controls, data, loader, messages
from app.words import plain
from pipeline.errors import BarrierbookError
from pipeline.telephone import TelephoneNote, note_file

_SHOWN_TIME: Final = "2026-11-25 14:05"


def ask() -> None:
    """Offer the form; what it says is loaded at once."""
    folder = data.store_folder()
    if folder is None:
        return
    with st.popover("A result told by telephone", icon=":material/call:", type="tertiary"):
        st.markdown(
            "It counts at once as **preliminary**, with who told it and when, until the laboratory’s report comes."
        )
        note = _form()
    if note is None:
        return
    try:
        name, content = note_file(note, data.plant().zone)
    except BarrierbookError as fault:
        st.error(plain(f"{fault.problem} {fault.remedy}"))
        return
    with st.spinner("Writing the note down"):
        messages.keep(loader.load([(name, content)], folder))
    st.query_params.clear()
    st.rerun()


def _form() -> TelephoneNote | None:
    """The note that was written down; ``None`` while it is not sent."""
    plant = data.plant()
    with st.form("telephone note", border=False):
        first, second = st.columns(2)
        with first:
            laboratory = st.selectbox("Laboratory", list(plant.laboratories), accept_new_options=True, index=None)
            told_by = st.text_input("Told by", placeholder="name or role")
            told_at = st.text_input("When", placeholder=_SHOWN_TIME)
            sample = st.text_input("Our sample id")
            point = st.selectbox("Sample point", list(plant.sample_points), format_func=controls.point_name, index=None)
            collected = st.text_input("Collected", placeholder=_SHOWN_TIME)
        with second:
            analyte = st.text_input("Analyte")
            value = st.text_input("Value", placeholder="11.2 or <0.5")
            unit = st.text_input("Unit", placeholder="mg/L")
            basis = st.text_input("Basis", placeholder="as N; empty where none is said")
            method = st.text_input("Method", placeholder="where it was told")
            revision = st.text_input("Revision", placeholder="2, where it corrects a call of the same day")
        sent = st.form_submit_button("Write it down", type="primary")
    if not sent:
        return None
    return TelephoneNote(
        laboratory=laboratory or "", told_by=told_by, told_at=told_at, sample=sample, sample_point=point or "",
        collected=collected, analyte=analyte, value=value, unit=unit, basis=basis, method=method, revision=revision,
    )  # fmt: skip
