"""Finished water against every limit that is judged at a sample point."""

import streamlit as st

from app import headlines, words
from app.dashboard import caution, controls, earlier_knowledge, evidence, links, states, verdict_rows


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
    everywhere = states.stop_without_verdicts(on)
    with slots[1]:
        point = controls.pick_point(everywhere)
    at_point = [verdict for verdict in everywhere if verdict.sample_point == point]
    with slots[0]:
        option = controls.pick_shown(at_point)
    with slots[2]:
        order = controls.pick_order()

    title.title(words.plain(headlines.finished_water(at_point, controls.point_phrase(point))), anchor=False)
    listed = controls.ordered(controls.shown(at_point, option), order)
    st.markdown(words.counts_markdown(verdict.outcome for verdict in at_point))
    if listed:
        table = verdict_rows.finished_water(listed, controls.chosen_date(), evidence.sparks)
        st.table(table, border="horizontal", width=1600, alt=f"Verdicts at {controls.point_name(point)}, {order}")
    else:
        st.markdown(f"No verdict is shown: nothing here is “{words.plain(option)}”.")
    earlier_knowledge.changes_since(on)
    links.page_link("**Years and sample points compared**", links.TREND, links.parameters(controls.chosen_date()))
    caution.closing_line(on)


if __name__ == "__main__":
    page()
