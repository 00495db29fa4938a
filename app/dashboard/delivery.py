"""The parts of the Load page: receiving a file, the reasons that hold cells, the files loaded."""

from collections.abc import Sequence
from functools import partial
from typing import Final

import streamlit as st

from app import figures
from app.dashboard import account, data, loader
from app.held_cells import Reason, cell_table
from app.words import plain

KINDS: Final = ("csv", "txt", "tsv")
MOST_CARDS: Final = 12

_SAID: Final = "what the loader said"
_RECEIVED: Final = "files received"


def receive() -> None:
    """The place for a file; a delivered one is loaded at once, and only once."""
    delivered = st.file_uploader("Load a laboratory’s file", type=KINDS, key="delivered", label_visibility="collapsed")
    received: set[str] = st.session_state.setdefault(_RECEIVED, set())
    if delivered is None or delivered.file_id in received:
        return
    received.add(delivered.file_id)
    folder = data.store_folder()
    if folder is None:
        return
    with st.spinner(f"Reading {plain(delivered.name)}"):
        st.session_state[_SAID] = loader.load(delivered.name, delivered.getvalue(), folder)
    st.query_params.clear()
    st.rerun()


def keep_said(finished: loader.Finished) -> None:
    """Keep what a run of the loader said until the page is written again."""
    st.session_state[_SAID] = finished


def report() -> None:
    """What the last run of the loader said, once."""
    finished: loader.Finished | None = st.session_state.pop(_SAID, None)
    if finished is None:
        return
    if not finished.done:
        st.error(plain(finished.said) or "The loader stopped without a word. Nothing was stored.")
    elif above := [line for line in finished.said.splitlines() if line.startswith("■")]:
        st.error("\n\n".join(plain(line) for line in above))


def held_cards(load: data.Load, reasons: Sequence[Reason], number: int) -> None:
    """One bordered card a reason, the cells of the reason that is open, and the button that tries again."""
    them = "it" if number == 1 else "them"
    st.subheader(f"Why {figures.plural(number, 'cell is', 'cells are')} held, and what clears {them}", anchor=False)
    opened = st.query_params.get("reason", "")
    with st.grid(2, min_column_width=300, border=True):
        for position, reason in enumerate(reasons[:MOST_CARDS], start=1):
            _card(load, reason, str(position))
    if len(reasons) > MOST_CARDS:
        rest = sum(reason.number for reason in reasons[MOST_CARDS:])
        st.markdown(f"{figures.plural(len(reasons) - MOST_CARDS, 'more reason')} for {figures.plural(rest, 'cell')}.")
    if opened.isdecimal() and 0 < int(opened) <= len(reasons):
        _cells(reasons[int(opened) - 1])
    if st.button("Retry held cells", type="primary", help="Reads them again with the plant folder as it is now."):
        _retry(load)


def files(loads: Sequence[data.Load]) -> None:
    """Every loaded file; picking one shows its account."""
    st.subheader("Files loaded", anchor=False)
    table = account.file_table(loads)
    # A new load moves every row, so it gets a table, and a selection, of its own.
    key = f"files up to {loads[0].load_id}"
    st.dataframe(
        table,
        hide_index=True,
        row_height=30,
        on_select=partial(_choose, key, [load.load_id for load in loads]),
        selection_mode="single-row",
        key=key,
        alt=f"{figures.plural(len(loads), 'file')} loaded, newest first; pick a row to see its account",
    )


def _choose(key: str, load_ids: Sequence[int]) -> None:
    for row in st.session_state[key].selection.rows:
        st.query_params.from_dict({"load": str(load_ids[row])})


def _card(load: data.Load, reason: Reason, position: str) -> None:
    with st.container(gap="xxsmall"):
        st.markdown(f":violet[**{figures.whole(reason.number)}**] **{plain(reason.message.rstrip('.'))}**")
        st.markdown(f":small[{plain(reason.place())}]")
        st.markdown(plain(reason.remedy))
        st.button(
            ":blue[Open the cells]", type="tertiary", key=f"open {position}", on_click=_open, args=(load, position)
        )


def _open(load: data.Load, position: str) -> None:
    st.query_params.from_dict({"load": str(load.load_id), "reason": position})


def _cells(reason: Reason) -> None:
    st.markdown(f"**{plain(figures.sentence(reason.message.rstrip('.')))}**")
    table = cell_table(reason.cells)
    st.dataframe(
        table, hide_index=True, row_height=30, alt=f"{figures.plural(reason.number, 'cell')} held for this reason"
    )
    st.download_button("Download as CSV", table.write_csv(), "held_cells.csv", "text/csv")


def _retry(load: data.Load) -> None:
    folder = data.store_folder()
    if folder is None:
        return
    with st.spinner("Reading the held cells again"):
        st.session_state[_SAID] = loader.retry(load.load_id, folder)
    st.rerun()
