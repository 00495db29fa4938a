"""What a page shows when there is nothing to show: no store, nothing loaded, the store busy, a fault."""

from datetime import date
from typing import NoReturn

import streamlit as st

from app.dashboard import caution, data, links
from app.dashboard.words import plain
from pipeline.errors import BarrierbookError


def stop_without_store() -> None:
    """Say how to open a store, and stop, when none is open; say so and go on when it is busy."""
    if data.store_folder() is None:
        st.title("No store is open", anchor=False)
        st.markdown("Start the dashboard on a store, or build the sample plant’s:")
        st.code("barrierbook serve --store DIR\nbarrierbook demo", language=None)
        st.stop()
    try:
        busy = data.refresh()
    except BarrierbookError as fault:
        st.title("The store cannot be read", anchor=False)
        st.error(fault_text(fault))
        st.stop()
    if busy:
        st.warning("Data are being updated. What you see is the state before; reload in a moment.")


def stop_when_nothing_is_loaded(on: date) -> NoReturn:
    """One title, one button, the command."""
    st.title("Nothing is loaded yet", anchor=False)
    st.markdown(f"The store of {plain(data.plant().name)} is empty: no limit can be judged before a file is loaded.")
    links.page_link("**Load a file**", links.LOAD, {})
    st.code("barrierbook load FILE...", language=None)
    caution.closing_line(on)
    st.stop()


def fault_text(fault: BarrierbookError) -> str:
    """An error as a page shows it: where, what, and the remedy, letter by letter."""
    where = plain(str(fault.place))
    return f"{f'**{where}**: ' if where else ''}{plain(fault.problem)} {plain(fault.remedy)}"
