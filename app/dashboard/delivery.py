"""The parts of the Load page: receiving files, the reasons that hold cells, the files loaded."""

from collections.abc import Sequence
from functools import partial
from typing import Final

import streamlit as st

from app import figures
from app.dashboard import account, data, loader, messages, waiting
from app.held_cells import Reason, cell_table
from app.words import plain

KINDS: Final = ("csv", "txt", "tsv", "xlsx", "zip", "dat", "asc")
MOST_CARDS: Final = 12

_RECEIVED: Final = "files received"


def receive() -> None:
    """The place for files; delivered ones are loaded at once, and only once."""
    delivered = st.file_uploader(
        "Load laboratories’ files",
        type=KINDS,
        key="delivered",
        label_visibility="collapsed",
        accept_multiple_files=True,
    )
    received: set[str] = st.session_state.setdefault(_RECEIVED, set())
    new = [file for file in delivered if file.file_id not in received]
    folder = data.store_folder()
    if not new or folder is None:
        return
    received.update(file.file_id for file in new)
    files = [(file.name, file.getvalue()) for file in new]
    with st.status(f"Reading {figures.plural(len(files), 'file')}") as status:
        results = loader.load(files, folder, lambda said: status.update(label=plain(said)))
    for (name, content), result in zip(files, results, strict=True):
        if result.is_unknown:
            waiting.keep(loader.file_name(name), content, folder)
    messages.keep(results)
    st.query_params.clear()
    st.rerun()


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
    messages.clear()
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
        messages.keep(loader.retry(load.load_id, folder))
    st.rerun()
