"""Analyzers: readings of one to four tags over any span, their gaps, their days and what is marked."""

import streamlit as st

from app.dashboard import analyzer_parts, caution, earlier_knowledge, states


def page() -> None:
    """Write the page."""
    states.stop_without_store()
    tags = analyzer_parts.there_are()
    if not tags.analyzers:
        st.title("No readings of analyzers yet", anchor=False)
        st.markdown("Write the tags into analyzers\\.csv and a layout of readings, then load a file of the historian:")
        st.code("barrierbook load FILE...", language=None)
        caution.closing_line()
        st.stop()
    heading = st.container()
    with st.grid(3, min_column_width=240):
        slots = [st.container() for _ in range(3)]
    with slots[0]:
        chosen = analyzer_parts.pick_tags(tags)
    with slots[1]:
        span = analyzer_parts.pick_span(tags, chosen)
    with slots[2]:
        earlier_knowledge.pick()
    shown = analyzer_parts.watched(tags, chosen, span)
    with heading:
        analyzer_parts.title(shown)
    analyzer_parts.charts(shown)
    analyzer_parts.tables(tags, shown)
    analyzer_parts.every_tag(tags)
    caution.closing_line()


if __name__ == "__main__":
    page()
