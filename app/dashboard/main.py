"""Navigation, and nothing else: which pages there are and where they stand in the bar at the top."""

from pathlib import Path

import streamlit as st

from app.dashboard import links, states

MARK = str(Path(__file__).parent / "assets" / "mark.svg")


def dashboard() -> None:
    """Show the page that was asked for, in the frame that all pages share."""
    st.set_page_config(page_title="barrierbook", page_icon=MARK, layout="wide")
    st.logo(MARK, size="small")
    page = st.navigation(
        {
            "": [
                st.Page(links.TODAY, title="Today", default=True),
                st.Page(links.LOAD, title="Load", url_path=links.PATHS[links.LOAD]),
                st.Page(links.DUE, title="Due", url_path=links.PATHS[links.DUE]),
            ],
            "Screen": [
                st.Page(links.FINISHED_WATER, title="Finished water", url_path=links.PATHS[links.FINISHED_WATER]),
                st.Page(links.ANALYTE, title="One analyte", url_path=links.PATHS[links.ANALYTE]),
                st.Page(links.LIMIT_TABLE, title="Limit table", url_path=links.PATHS[links.LIMIT_TABLE]),
            ],
            "Watch": [
                st.Page(links.TREND, title="Trends", url_path=links.PATHS[links.TREND]),
                st.Page(links.ANALYZERS, title="Analyzers", url_path=links.PATHS[links.ANALYZERS]),
            ],
            "Reports": [
                st.Page(links.REPORTS, title="Month of finished water", url_path=links.PATHS[links.REPORTS]),
            ],
        },
        position="top",
    )
    with states.faults_in_words():
        page.run()


if __name__ == "__main__":
    dashboard()
