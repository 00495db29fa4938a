"""One analyte unfolded: the chart, the arithmetic of the verdict, and every result behind it."""

import streamlit as st

from app.dashboard import caution, controls, data, earlier_knowledge, evidence, states, unfolded


def page() -> None:
    """Write the page."""
    states.stop_without_store()
    heading = st.container()
    with st.grid(4, min_column_width=150):
        slots = [st.container() for _ in range(4)]
    with slots[2]:
        on = controls.pick_date()
    with slots[3]:
        earlier_knowledge.pick()
    verdicts = states.stop_without_verdicts(on)
    picked = controls.pick_verdict(verdicts, *slots[:2])

    with heading:
        unfolded.title(picked)
    left, right = st.columns([25, 14], gap="large")
    with left:
        unfolded.chart(picked)
    with right:
        unfolded.arithmetic(picked)
    unfolded.source_rows(picked, data.findings(evidence.result_ids(picked)), data.at_sampling())
    caution.closing_line(on)


if __name__ == "__main__":
    page()
