"""The form in which a person says how a file is read that no layout knows, with its first cells below."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Final

import polars as pl
import streamlit as st

from app import figures
from app.dashboard import data, loader, messages, states, waiting
from app.layout_saving import preview_of, proposal_for, save_layout
from app.words import plain
from pipeline.errors import BarrierbookError
from pipeline.ingest.preview import Preview
from pipeline.ingest.propose import Proposal, needed
from pipeline.ingest.propose_choices import targets_of, with_choices
from pipeline.ingest.source import read_source

CHOSEN: Final = "waiting"
"""Parameter of the address: the file that waits and is shown."""

ASKED_FIRST: Final = ("laboratory", "sample", "laboratory_sample", "method", "qualifier", "reporting_limit")
_NOWHERE: Final = "not in the file"
_SAME: Final = "the same text in every row"
_KINDS: Final = ("results", "readings", "sample log")
_ORDERS: Final = {"": "2026-05-04 (ISO 8601)", "day first": "04/05/2026 is 4 May", "month first": "05/04/2026 is 4 May",
                  "year first": "2026/05/04"}  # fmt: skip
_MARKS: Final = {"": "none", ",": "comma", ".": "point", " ": "blank", "'": "apostrophe", "\u2019": "raised comma"}


def waiting_files() -> None:
    """The files that wait for a person to say how they are read, one of them open."""
    folder = data.store_folder()
    files = waiting.waiting(folder) if folder else []
    if not files or data.as_known() is not None:
        return
    count = figures.plural(len(files), "file is", "files are")
    st.subheader(f"{count} not known yet: say how {'it is' if len(files) == 1 else 'they are'} read", anchor=False)
    asked = st.query_params.get(CHOSEN, "")
    keys = [one.key for one in files]
    shown = files[keys.index(asked)] if asked in keys else files[0]
    if len(files) > 1:
        shown = st.selectbox("File", files, index=files.index(shown), format_func=lambda one: one.name)
        st.query_params[CHOSEN] = shown.key
    try:
        _form(shown)
    except BarrierbookError as fault:
        st.error(states.fault_text(fault))
        _put_away(shown)


def _form(file: waiting.Waiting) -> None:
    book = data.book()
    kind = st.session_state.get(f"kind {file.key}", "")
    proposal = _proposed(str(file.path), book.plant.version, kind)
    st.markdown(f"**{plain(file.name)}**. Everything below is a proposal: check it, and look at the cells.")
    _kind(file, proposal)
    columns, constants = _columns(file, proposal)
    columns |= _styles(file, proposal)
    changed = with_choices(proposal, columns, constants)
    for said in changed.undecided:
        st.markdown(f":violet[**?**] {plain(said)}")
    if changed.unused:
        names = ", ".join(plain(name) for name in changed.unused)
        st.markdown(f":small[Not read: {names}.]")
    _show(file, changed)
    _save(file, changed)


@st.cache_data(max_entries=8, show_spinner="Looking at the file")
def _proposed(path: str, plant_version: str, kind: str) -> Proposal:  # noqa: ARG001  the version is part of the question
    return proposal_for(data.book(), read_source(Path(path)), kind=kind)


def _kind(file: waiting.Waiting, proposal: Proposal) -> None:
    kind = proposal.draft["kind"]
    st.selectbox("What the file holds", _KINDS, index=_KINDS.index(kind), key=f"kind {file.key}")


def _columns(file: waiting.Waiting, proposal: Proposal) -> tuple[dict[str, str], dict[str, str]]:
    """One box a column of ours: those that are needed and those that were guessed first, the others folded away."""
    draft = proposal.draft
    said_by_headings = _in_headings(draft)
    known = targets_of(draft["kind"]) - said_by_headings
    guessed = [target for target in draft.get("columns", {}) if target in known]
    wanted = [target for target in needed(draft) if target in known]
    first = list(dict.fromkeys([*wanted, *guessed, *(target for target in ASKED_FIRST if target in known)]))
    if said_by_headings:
        listed = ", ".join(sorted(said_by_headings))
        st.markdown(f"The headings and the lines beside them say: **{plain(listed)}**.")
    columns: dict[str, str] = {}
    constants: dict[str, str] = {}
    with st.grid(4, min_column_width=220):
        for target in first:
            _box(file, proposal, target, columns, constants)
    with st.expander("More of our columns"), st.grid(4, min_column_width=220):
        for target in sorted(known - set(first)):
            _box(file, proposal, target, columns, constants)
    return columns, constants


def _in_headings(draft: Mapping[str, Any]) -> set[str]:
    """Which of our columns a crosstab's headings, lines and companions fill."""
    if draft["kind"] == "readings":
        return set()
    crosstab = draft.get("crosstab")
    if crosstab is None:
        return set()
    forms = " ".join(crosstab["headings"])
    said = {target for target in targets_of(draft["kind"]) if f"{{{target}}}" in forms}
    said |= {target for texts in crosstab.get("heading_says", {}).values() for target in texts}
    return said | {"value"} | set(crosstab.get("lines", {})) | set(crosstab.get("companions", {}))


def _box(
    file: waiting.Waiting, proposal: Proposal, target: str, columns: dict[str, str], constants: dict[str, str]
) -> None:
    guess = proposal.draft.get("columns", {}).get(target, "")
    guessed = guess if isinstance(guess, str) else "+".join(guess)
    constant = proposal.draft.get("constants", {}).get(target, "")
    headers = [name.strip() for name in proposal.headers if name.strip()]
    options = list(
        dict.fromkeys([_NOWHERE, *([_SAME] if target != "value" else []), *filter(None, [guessed]), *headers])
    )
    start = guessed or (_SAME if constant else _NOWHERE)
    with st.container(gap="xxsmall"):
        chosen = st.selectbox(
            target.replace("_", " "),
            options,
            index=options.index(start),
            key=f"column {file.key} {proposal.draft['kind']} {target}",
            help=_help(proposal.reasons.get(f"columns.{target}", "")),
        )
        columns[target] = "" if chosen in (_NOWHERE, _SAME) else chosen
        if chosen == _SAME:
            constants[target] = st.text_input(
                f"{target.replace('_', ' ')} of every row", constant, key=f"text {file.key} {target}"
            )


def _help(reason: str) -> str | None:
    return f"Proposed because {plain(reason)}." if reason else None


def _styles(file: waiting.Waiting, proposal: Proposal) -> dict[str, str]:
    """How dates and numbers are written; nothing where it is as proposed."""
    draft = proposal.draft
    if draft["kind"] != "results":
        return {}
    numbers = draft.get("numbers", {})
    order = draft.get("times", {}).get("order", "")
    decimal, thousands = numbers.get("decimal", "."), numbers.get("thousands", "")
    with st.grid(4, min_column_width=220):
        new_order = _choice("Dates", _ORDERS, order, f"order {file.key}")
        new_decimal = _choice("Decimal mark", {".": "point", ",": "comma"}, decimal, f"decimal {file.key}")
        groups = {mark: word for mark, word in _MARKS.items() if mark != new_decimal}
        new_thousands = _choice("Mark of thousands", groups, thousands, f"thousands {file.key}")
    changed = {}
    if new_order != order:
        changed["times.order"] = new_order
    if (new_decimal, new_thousands) != (decimal, thousands):
        changed |= {"numbers.decimal": new_decimal, "numbers.thousands": new_thousands}
    return changed


def _choice(label: str, options: Mapping[str, str], start: str, key: str) -> str:
    values: Sequence[str] = list(options)
    index = values.index(start) if start in values else 0
    return st.selectbox(label, values, index=index, format_func=lambda value: options[value], key=key)


def _show(file: waiting.Waiting, proposal: Proposal) -> None:
    """The first cells as they would be stored, or why they cannot be shown yet."""
    found, why_not = _previewed(str(file.path), data.book().plant.version, proposal.text(), proposal)
    if found is None:
        st.markdown(f":gray[No cell can be shown yet: {plain(why_not)}]")
        return
    counted = " + ".join(f"{figures.whole(count)} {plain(outcome)}" for outcome, count in found.outcomes.items())
    st.markdown(f"**The first {figures.plural(found.looked_at, 'cell')} as they would be stored**: {counted or 'none'}")
    for problem, count in list(found.problems.items())[:4]:
        st.markdown(f":violet[**{figures.whole(count)}** held:] {plain(problem)}")
    st.dataframe(
        preview_table(found),
        hide_index=True,
        row_height=30,
        alt=f"The first {len(found.cells)} cells of {file.name} as they would be stored",
    )


@st.cache_data(max_entries=16, show_spinner="Reading the first cells")
def _previewed(path: str, plant_version: str, text: str, _proposal: Proposal) -> tuple[Preview | None, str]:  # noqa: ARG001
    return preview_of(data.book(), read_source(Path(path)), _proposal)


def preview_table(found: Preview) -> pl.DataFrame:
    """The first cells as they were written and as they would be stored."""
    columns = ("Line", "Column", "Written", "Analyte", "Sample point", "Value", "Unit", "Collected", "Outcome", "Why")
    rows = [
        (cell.line, cell.column, cell.written, cell.analyte, cell.sample_point, cell.value, cell.unit, cell.collected,
         cell.outcome, cell.problem)
        for cell in found.cells
    ]  # fmt: skip
    schema = {name: pl.Int64 if name == "Line" else pl.String for name in columns}
    return pl.DataFrame(rows, schema=schema, orient="row")


def _save(file: waiting.Waiting, proposal: Proposal) -> None:
    name = st.text_input("Name of the layout", Path(file.name).stem, key=f"name {file.key}")
    saving, away = st.columns([1, 3], vertical_alignment="bottom")
    with saving:
        pressed = st.button("Save and load", type="primary", key=f"save {file.key}", disabled=not name.strip())
    with away:
        _put_away(file)
    if pressed:
        _save_and_load(file, proposal, name)


def _save_and_load(file: waiting.Waiting, proposal: Proposal, name: str) -> None:
    folder = data.store_folder()
    if folder is None:
        return
    try:
        save_layout(data.book(), read_source(file.path), proposal, name)
    except BarrierbookError as fault:
        st.error(states.fault_text(fault))
        return
    with st.spinner(f"Reading {plain(file.name)}"):
        (result,) = loader.load([(file.name, file.path.read_bytes())], folder)
    if result.load_id is not None:
        waiting.forget(file)
    messages.keep([result])
    st.query_params.clear()
    st.rerun()


def _put_away(file: waiting.Waiting) -> None:
    if st.button("Not ours: put it away", key=f"away {file.key}", help="Nothing of it was stored."):
        waiting.forget(file)
        st.query_params.clear()
        st.rerun()
