"""Load: what happened to every cell of a file, why some are held, and what clears them."""

import streamlit as st

from app import headlines, words
from app.dashboard import (
    account,
    caution,
    charts,
    controls,
    data,
    delivery,
    mapping_form,
    messages,
    states,
    suggested,
    telephone_form,
)
from app.held_cells import number_of_cells, reasons


def page() -> None:
    """Write the page."""
    states.stop_without_store()
    loads = data.loads()
    heading, upload = st.columns([25, 14], gap="large", vertical_alignment="bottom")
    with upload:
        delivery.receive()
        telephone_form.ask()
    if not loads:
        with heading:
            st.title("Nothing is loaded yet", anchor=False)
        messages.show()
        mapping_form.waiting_files()
        st.markdown("Drop a laboratory’s file above, or load it with the command:")
        st.code("barrierbook load FILE...", language=None)
        caution.closing_line()
        st.stop()

    shown = controls.load_in_address(loads)
    held = data.held(shown.load_id)
    number = number_of_cells(held)
    with heading:
        st.title(words.plain(headlines.held_cells(number, shown.file)), anchor=False)
    messages.show()
    mapping_form.waiting_files()
    st.markdown(account.lines_markdown(shown))
    st.markdown(account.cells_markdown(shown))
    if sum(shown.cells.values()):
        st.altair_chart(charts.account_bar(shown.cells), alt=account.spoken(shown), theme="streamlit")
    if held:
        delivery.held_cards(shown, reasons(held), number)
        if data.as_known() is None:
            suggested.suggestions(data.suggestions(shown.load_id))
    delivery.files(loads)
    caution.closing_line()


if __name__ == "__main__":
    page()
