"""What the last work on the Load page did: it stays in sight until the next work, or until a person leaves the load."""

from collections.abc import Sequence
from typing import Final

import streamlit as st

from app import figures
from app.dashboard.loader import FileResult, Finished
from app.words import plain

_SAID: Final = "what was done last"


def keep(said: Finished | Sequence[FileResult]) -> None:
    """Remember what was done, in place of what was done before."""
    st.session_state[_SAID] = said


def clear() -> None:
    """Forget it, because a person goes elsewhere."""
    st.session_state.pop(_SAID, None)


def show() -> None:
    """Say what was done last: what is above a limit first, then what went wrong, then each file's account."""
    said: Finished | Sequence[FileResult] | None = st.session_state.get(_SAID)
    if said is None:
        return
    if isinstance(said, Finished):
        if said.done:
            st.info("  \n".join(plain(line) for line in said.said.splitlines()))
        else:
            st.error(plain(said.said) or "The command stopped without a word. Nothing was changed.")
        return
    above = [sentence for result in said for sentence in result.above]
    if above:
        st.error("\n\n".join(f"**■** {plain(sentence)}" for sentence in above))
    for result in said:
        if result.error and not result.is_unknown:  # the form below asks how an unknown file is read
            st.error(f"**{plain(result.file)}**: {plain(_without(result.error, result.file))}")
        for remark in result.remarks:
            st.info(f"**{plain(result.file)}**: {plain(remark)}")
    if len(said) > 1 and any(result.account for result in said):
        _accounts(said)


def _accounts(said: Sequence[FileResult]) -> None:
    """Each file's cells as an equation."""
    loaded = [result for result in said if result.account]
    st.markdown(f"**{figures.plural(len(loaded), 'file')} of {len(said)} loaded:**")
    st.markdown("\n".join(f"- **{plain(result.file)}**: {plain(result.account)} cells" for result in loaded))


def _without(error: str, file: str) -> str:
    """The error without the name of its file, which is said already."""
    return error.removeprefix(f"{file}, ").removeprefix(f"{file}: ")
