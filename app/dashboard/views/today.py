"""Today: is the finished water inside every limit, and what needs a person."""

import streamlit as st

from app import headlines, words
from app.dashboard import caution, controls, data, earlier_knowledge, person_list, states, verdict_rows
from app.held_cells import number_of_cells


def page() -> None:
    """Write the page."""
    states.stop_without_store()
    on, chosen = controls.evaluation_date(), controls.chosen_date()
    verdicts = states.stop_without_verdicts(on)
    finished = headlines.judged_only(controls.of_finished_water(verdicts))
    held = data.held()

    st.title(words.plain(headlines.today(verdicts, number_of_cells(held))), anchor=False)
    left, right = st.columns([14, 25], gap="large")
    with left:
        due = data.due(on)
        entries = person_list.entries(verdicts, held, on, chosen, due.dues)
        st.subheader(person_list.heading(entries), anchor=False)
        person_list.write(entries, due.next_due)
    with right:
        st.subheader(headlines.inside_every_limit(finished), anchor=False)
        if finished:
            st.table(verdict_rows.by_kind(finished, chosen), border="horizontal", hide_index=True, alt="Limits by kind")
        else:
            st.markdown("No sample point of this plant is marked as a finished water entry point.")
    earlier_knowledge.changes_since(on)
    caution.closing_line(on)


if __name__ == "__main__":
    page()
