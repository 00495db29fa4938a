"""What a page shows when there is nothing to show: no store, nothing loaded, the store busy, a fault."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from typing import NoReturn

import streamlit as st

from app.dashboard import caution, data, earlier_knowledge, links
from app.words import plain
from pipeline.errors import BarrierbookError, StoreBusyError
from pipeline.screening.model import Verdict


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
    earlier_knowledge.say()


def stop_without_verdicts(on: date) -> tuple[Verdict, ...]:
    """The verdicts of a day; where there is nothing to judge, say why and stop."""
    if not data.loads():
        stop_when_nothing_is_loaded(on)
    verdicts = data.verdicts(on)
    if not verdicts:
        st.title("No limit is judged at any sample point", anchor=False)
        st.markdown(
            "Every limit is written for a kind of place. Give the sample points of the plant their place in "
            "sample\\_points.csv, and choose whose limits are judged in plant.toml."
        )
        links.page_link("**Limit table**", links.LIMIT_TABLE, {})
        caution.closing_line(on)
        st.stop()
    return verdicts


def stop_when_nothing_is_loaded(on: date) -> NoReturn:
    """One title, one button, the command."""
    st.title("Nothing is loaded yet", anchor=False)
    st.markdown(f"The store of {plain(data.plant().name)} is empty: no limit can be judged before a file is loaded.")
    links.page_link("**Load a file**", links.LOAD, {})
    st.code("barrierbook load FILE...", language=None)
    caution.closing_line(on)
    st.stop()


@contextmanager
def faults_in_words() -> Iterator[None]:
    """Show a fault that a person can meet as where, what and remedy; everything else is a fault of the program."""
    try:
        yield
    except StoreBusyError as fault:
        st.warning(fault_text(fault))
    except BarrierbookError as fault:
        st.error(fault_text(fault))


def fault_text(fault: BarrierbookError) -> str:
    """An error as a page shows it: where, what, and the remedy, letter by letter."""
    where = plain(str(fault.place))
    return f"{f'**{where}**: ' if where else ''}{plain(fault.problem)} {plain(fault.remedy)}"
