"""Unknown texts that hold cells, each with what it can mean and one button that accepts it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import streamlit as st

from app import figures
from app.dashboard import data, loader, messages
from app.words import plain
from pipeline.plant.meanings import Meaning, Missing
from pipeline.unknown_texts import HeldFor

MOST_SHOWN: Final = 12
_BY_HAND: Final = "chosen from all names"
NOT_OURS: Final = "not ours: set its cells aside"


@dataclass(frozen=True, slots=True)
class _Choice:
    """One thing to choose: a meaning, or that the cells are not ours."""

    words: str
    meaning: Meaning | None


def suggestions(found: Sequence[HeldFor]) -> None:
    """One bordered cell a text: how many cells it holds, what it can mean, why, and the button."""
    if not found:
        return
    count = figures.plural(len(found), "text is not known", "texts are not known")
    st.subheader(f"{count}: say what {'it means' if len(found) == 1 else 'they mean'}", anchor=False)
    with st.grid(2, min_column_width=300, border=True):
        for one in found[:MOST_SHOWN]:
            _text(one)
    if len(found) > MOST_SHOWN:
        more = figures.plural(len(found) - MOST_SHOWN, "more text is", "more texts are")
        st.markdown(f"{more} not known: answer these first.")


def _text(one: HeldFor) -> None:
    unknown = one.unknown
    key = f"{unknown.missing} {unknown.sender} {unknown.as_written}"
    with st.container(gap="xxsmall"):
        st.markdown(f":violet[**{figures.whole(one.cells)}**] **{unknown.missing} “{plain(unknown.as_written)}”**")
        of = f"{plain(unknown.sender)}, " if unknown.sender else ""
        st.markdown(f":small[{of}{_clears(one)}]")
        if one.suggestion.doubt:
            st.markdown(plain(one.suggestion.doubt))
        if unknown.missing is Missing.REPORTING_LIMIT:
            _limit(one, key)
        else:
            _meaning(one, key)


def _meaning(one: HeldFor, key: str) -> None:
    choices = [_Choice(f"{meaning}: {meaning.reason}", meaning) for meaning in one.suggestion.meanings]
    if one.unknown.missing is Missing.ANALYTE:
        choices.append(_Choice(NOT_OURS, None))
    listed = {meaning.means for meaning in one.suggestion.meanings}
    choices += [
        _Choice(name, Meaning(name, _BY_HAND)) for name in _every_name(one.unknown.missing) if name not in listed
    ]
    chosen = st.selectbox(
        f"What {one.unknown.missing} it means",
        choices,
        index=0 if one.suggestion.likely and choices[0].meaning == one.suggestion.likely else None,
        format_func=lambda choice: choice.words,
        placeholder="Choose what it means",
        key=f"meaning of {key}",
        label_visibility="collapsed",
    )
    if st.button("Accept and read again", key=f"accept {key}", disabled=chosen is None) and chosen:
        _accept(one, chosen)


def _every_name(missing: Missing) -> Sequence[str]:
    """Every name of the plant that a text could mean, for a person who knows which."""
    plant = data.plant()
    if missing is Missing.ANALYTE:
        return sorted(plant.analytes, key=str.casefold)
    if missing is Missing.POINT:
        return list(plant.sample_points)
    if missing is Missing.UNIT:
        return sorted({analyte.canonical_unit for analyte in plant.analytes.values() if analyte.canonical_unit})
    return ()


def _limit(one: HeldFor, key: str) -> None:
    written = st.text_input("Reporting limit with its unit", key=f"limit of {key}", placeholder="0.5 ug/L")
    if st.button("Accept and read again", key=f"accept {key}", disabled=not written.strip()):
        _accept(one, _Choice(written, Meaning(written.strip(), "as told by the laboratory")))


def _accept(one: HeldFor, chosen: _Choice) -> None:
    folder = data.store_folder()
    if folder is None:
        return
    meaning, options = chosen.meaning, []
    if meaning is None:
        options = ["--set-aside"]
    else:
        options += ["--basis", meaning.implied_basis] if meaning.implied_basis else []
        options += ["--fraction", meaning.implied_fraction] if meaning.implied_fraction else []
        options += ["--why", meaning.reason]
    unknown = one.unknown
    with st.spinner("Reading the held cells again"):
        said = loader.accept(
            unknown.missing,
            unknown.sender,
            unknown.as_written,
            "not ours" if meaning is None else meaning.means,
            folder,
            *options,
        )
    messages.keep(said)
    st.rerun()


def _clears(one: HeldFor) -> str:
    if one.alone == one.cells:
        return f"{plain(one.file)}: an answer clears {'it' if one.cells == 1 else 'them'}"
    return f"{plain(one.file)}: an answer clears {figures.whole(one.alone)}; something else holds the others too"
