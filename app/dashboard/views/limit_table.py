"""The limit table: every limit the plant knows, whether it is judged, and how far its figures can be trusted."""

import streamlit as st

from app import figures
from app.dashboard import caution, controls, data, limit_rows, states


def page() -> None:
    """Write the page."""
    states.stop_without_store()
    on = data.today()
    limits = data.plant().limits
    judged = limit_rows.standings(data.plant(), {verdict.limit.limit_id for verdict in data.verdicts(on)}, on)

    st.title(limit_rows.headline(limits, judged), anchor=False)
    offered = {
        "Kind": ("kind", limit_rows.kinds(limits)),
        "Jurisdiction": ("whose", limit_rows.jurisdictions(limits)),
        "Judged": ("judged", [limit_rows.JUDGED, limit_rows.NOT_JUDGED]),
    }
    with st.grid(4, min_column_width=150):
        kind, whose, state = (
            controls.pick(label, name, [limit_rows.ANY, *options], figures.sentence)
            for label, (name, options) in offered.items()
        )
        sought = st.text_input("Search", key="sought", placeholder="analyte, CAS number, source")

    chosen = limit_rows.matching(limits, judged, kind=kind, whose=whose, state=state, sought=sought)
    if chosen:
        st.markdown(limit_rows.trust(chosen))
        st.dataframe(
            limit_rows.table(chosen, judged),
            hide_index=True,
            row_height=30,
            height=620,
            alt=f"{figures.plural(len(chosen), 'limit')} of the limit table",
            column_config=limit_rows.COLUMNS,
        )
    else:
        st.markdown("No limit fits. Clear the search or choose “any”.")
    caution.closing_line()


if __name__ == "__main__":
    page()
