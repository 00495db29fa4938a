"""What was known at a time: choosing the time, saying that the page shows it, and which verdicts differ since."""

from datetime import date, datetime
from typing import Final

import pandas as pd  # type: ignore[import-untyped]
import streamlit as st

from app import figures, words
from app.as_of import instant
from app.dashboard import data, links
from app.words import plain
from pipeline.errors import BarrierbookError
from pipeline.screening.model import Verdict
from pipeline.what_changed import ChangedVerdict

MOST_REASONS: Final = 3
_KEY: Final = "pick known"


def pick() -> None:
    """Let a person choose the day whose knowledge is shown; left empty it is now."""
    st.session_state[_KEY] = _day_in_address()
    st.date_input(
        "As known on",
        format="YYYY-MM-DD",
        key=_KEY,
        on_change=_write,
        help="Verdicts as they were at the end of that day: what was loaded, withdrawn, decided or changed in the "
        "plant folder since then does not count. Empty is now.",
    )


def say() -> None:
    """Where a page shows an earlier knowledge, say so, and offer the way back."""
    at = data.as_known()
    if at is None:
        return
    st.info(f"As known on {_moment(at)}: what was loaded, withdrawn or decided since then does not count.")
    st.button("See what is known now", on_click=_leave)


def changes_since(on: date) -> None:
    """Where a page shows an earlier knowledge: which verdicts are others now, and what was done that explains it."""
    at = data.as_known()
    if at is None:
        return
    changed = data.changes(on)
    number = figures.plural(len(changed), "verdict")
    st.subheader(f"What changed since: {number}" if changed else "No verdict changed since", anchor=False)
    if changed:
        st.table(_rows(changed), border="horizontal", hide_index=True, alt=f"Verdicts that changed since {_moment(at)}")


def _rows(changed: tuple[ChangedVerdict, ...]) -> pd.DataFrame:
    return pd.DataFrame(
        {
            "Analyte": [plain(one.analyte) for one in changed],
            "Sample point": [plain(one.sample_point) for one in changed],
            "Then": [_said(one.before) for one in changed],
            "Now": [_said(one.after) for one in changed],
            "Why": [_why(one) for one in changed],
        }
    )


def _why(changed: ChangedVerdict) -> str:
    by_kind: dict[str, list[str]] = {}
    for reason in changed.why:
        by_kind.setdefault(reason.kind, []).append(reason.what)
    told = [
        f"{kind}: {', '.join(map(plain, whats[:MOST_REASONS]))}"
        + (f" and {len(whats) - MOST_REASONS} more" if len(whats) > MOST_REASONS else "")
        for kind, whats in by_kind.items()
    ]
    return "; ".join(told)


def _said(verdict: Verdict | None) -> str:
    if verdict is None:
        return "not judged"
    statistic = words.plain(figures.statistic(verdict))
    return f"{words.verdict_markdown(verdict)} {statistic}".strip()


def _moment(at: datetime) -> str:
    return figures.moment(at, data.plant().zone)


def _day_in_address() -> date | None:
    written = st.query_params.get(links.AS_KNOWN, "")
    try:
        return instant(written, data.plant().zone).astimezone(data.plant().zone).date() if written else None
    except BarrierbookError:
        return None


def _write() -> None:
    picked = st.session_state[_KEY]
    if isinstance(picked, date):
        st.query_params[links.AS_KNOWN] = picked.isoformat()
    else:
        st.query_params.pop(links.AS_KNOWN, None)


def _leave() -> None:
    st.query_params.pop(links.AS_KNOWN, None)
