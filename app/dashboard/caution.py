"""The line with which every page closes."""

from datetime import date

import streamlit as st

from app import figures
from app.dashboard import data

CAUTION = (
    "Screening aid, not a compliance determination: certified laboratories, licensed operators and the primacy agency "
    "decide. State, local and permit limits differ and change: confirm the limit table before use. An acute exceedance "
    "calls for the plant’s emergency procedure at once."
)


def closing_line(on: date | None = None) -> None:
    """Caution, when data were last loaded, and the day of evaluation where the page has one."""
    last = data.last_loaded()
    loaded = f"Data last loaded {figures.moment(last, data.plant().zone)}." if last else "No data loaded yet."
    evaluated = f" Evaluated on {figures.day(on)}." if on else ""
    st.markdown(f":small[:gray[{CAUTION} {loaded}{evaluated}]]")
