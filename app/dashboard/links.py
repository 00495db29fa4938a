"""Where pages are, and the addresses that carry a view from one to the next.

The whole state of a view is in its address, so that a link can be sent to a colleague and a new tab shows the same.
"""

from datetime import date
from typing import Final
from urllib.parse import quote, urlencode

import streamlit as st

from app.words import plain

TODAY: Final = "views/today.py"
LOAD: Final = "views/load.py"
DUE: Final = "views/due.py"
FINISHED_WATER: Final = "views/finished_water.py"
ANALYTE: Final = "views/analyte.py"
LIMIT_TABLE: Final = "views/limit_table.py"
TREND: Final = "views/trend.py"
ANALYZERS: Final = "views/analyzers.py"
REPORTS: Final = "views/reports.py"

AS_KNOWN: Final = "known"
"""Parameter of an address: the time whose knowledge is shown."""

PATHS: Final = {
    LOAD: "load",
    DUE: "due",
    FINISHED_WATER: "finished-water",
    ANALYTE: "analyte",
    LIMIT_TABLE: "limit-table",
    TREND: "trends",
    ANALYZERS: "analyzers",
    REPORTS: "reports",
}


def parameters(on: date | None, **said: str) -> dict[str, str]:
    """Parameters of an address: the evaluation date where one was chosen, and whatever else is said.

    The time whose knowledge the page shows goes along, so that a person stays in it until it is left on purpose.
    """
    known = st.query_params.get(AS_KNOWN, "")
    carried = ({"on": on.isoformat()} if on else {}) | ({AS_KNOWN: known} if known else {})
    return carried | {name: value for name, value in said.items() if value}


def markdown(text: str, page: str, given: dict[str, str]) -> str:
    """A link inside a table or a text; it opens in a new tab, which is why the address holds everything.

    >>> markdown("1,4-Dioxane (x)", ANALYTE, {"limit": "a b"})
    '[1,4\\\\-Dioxane \\\\(x\\\\)](analyte?limit=a%20b)'
    """
    query = urlencode(given, quote_via=quote)
    return f"[{plain(text)}]({PATHS[page]}{'?' + query if query else ''})"


def page_link(label: str, page: str, given: dict[str, str]) -> None:
    """A link that stays in the tab; ``label`` is Markdown."""
    st.page_link(page, label=label, query_params=given, icon=":material/chevron_right:", icon_position="right")
