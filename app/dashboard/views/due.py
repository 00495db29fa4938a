"""Due: what is to be sampled, what is late at a laboratory, and what to ask it."""

import streamlit as st

from app import due_rows, words
from app.dashboard import caution, controls, data, due_parts, earlier_knowledge, states


def page() -> None:
    """Write the page."""
    states.stop_without_store()
    title = st.empty()
    with st.grid(5, min_column_width=150):
        slots = [st.container() for _ in range(5)]
    with slots[3]:
        on = controls.pick_date()
    with slots[4]:
        earlier_knowledge.pick()
    if not data.loads():
        states.stop_when_nothing_is_loaded(on)
    found = data.due(on)
    with slots[0]:
        state = due_parts.pick_state(found.dues)
    with slots[1]:
        point = due_parts.pick_point(found.dues)
    with slots[2]:
        laboratory = due_parts.pick_laboratory(found.dues)

    if data.plant().monitoring_plan:
        title.title(words.plain(due_rows.headline(found.dues, found.next_due)), anchor=False)
    else:
        title.title("The plant has no monitoring plan", anchor=False)
        due_parts.how_to_plan()
    listed = due_rows.chosen(found.dues, point=point, laboratory=laboratory, state=state)
    due_parts.table(due_rows.rows(listed), on)
    due_parts.ask_laboratories(found, laboratory)
    due_parts.prompt()
    caution.closing_line(on)


if __name__ == "__main__":
    page()
