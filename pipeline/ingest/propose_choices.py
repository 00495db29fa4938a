"""A person's changes to a proposed layout: which column is which, what holds for the whole file, how it is written."""

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from difflib import get_close_matches
from typing import Any, Final

from pipeline.errors import LayoutError
from pipeline.ingest.file_layout import folded
from pipeline.ingest.layout import TARGETS
from pipeline.ingest.layout_text import quoted
from pipeline.ingest.propose import Draft, Proposal, completed, signature_of
from pipeline.ingest.sample_log_layout import SAMPLE_TARGETS

READING_COLUMNS: Final = frozenset({"time", "tag", "value", "status"})


def targets_of(kind: str) -> frozenset[str]:
    """Which of our columns a layout of a kind can fill."""
    return {"readings": READING_COLUMNS, "sample log": SAMPLE_TARGETS}.get(kind, TARGETS)


def with_choices(proposal: Proposal, columns: Mapping[str, str], constants: Mapping[str, str]) -> Proposal:
    """The proposal as a person changed it.

    Parameters
    ----------
    columns
        One of our columns with the header that fills it, or with several joined by "+"; an empty text takes it out. A
        key of the layout such as ``times.order`` with its value.
    constants
        One of our columns with the text that holds for the whole file; an empty text takes it out.

    Raises
    ------
    LayoutError
        When a column is none of ours, or a header is not in the file.
    """
    draft: Draft = dict(proposal.draft)
    draft["columns"] = dict(draft.get("columns", {}))
    draft["constants"] = dict(draft.get("constants", {}))
    known = targets_of(draft["kind"])
    for key, written in columns.items():
        if key in known:
            _set_column(draft, key, written, proposal)
        else:
            draft = _with_key(draft, key, written, known)
    for key, text in constants.items():
        if key not in known:
            raise _not_ours(key, known)
        draft["constants"].pop(key, None)
        if text.strip():
            draft["columns"].pop(key, None)
            draft["constants"][key] = text.strip()
    if not draft["constants"]:
        del draft["constants"]
    if draft["kind"] != "readings":
        draft["signature"] = signature_of(draft)
    return completed(replace(proposal, draft=draft, undecided=_still_open(proposal, draft)))


def _still_open(proposal: Proposal, draft: Draft) -> tuple[str, ...]:
    """Questions to which the changed draft has no answer yet."""
    answered = {
        "Set times.order": "order" in draft.get("times", {}),
        "Set numbers.decimal": "numbers" in draft,
        "give it as a constant": "unit" in draft.get("constants", {}) or "unit" in draft["columns"],
        "Else set time.zone": draft.get("time") != proposal.draft.get("time"),
    }
    return tuple(
        said for said in proposal.undecided if not any(done and words in said for words, done in answered.items())
    )


def _set_column(draft: Draft, target: str, written: str, proposal: Proposal) -> None:
    draft["columns"].pop(target, None)
    if not written.strip():
        return
    names = _headers(written, proposal)
    draft["columns"][target] = names[0] if len(names) == 1 else names
    draft["constants"].pop(target, None)
    if "ignored" in draft.get("crosstab", {}):
        ignored = [name for name in draft["crosstab"]["ignored"] if name not in names]
        draft["crosstab"] = {**draft["crosstab"], "ignored": ignored}


def _headers(written: str, proposal: Proposal) -> list[str]:
    """The headers that a text names: itself, else its parts between plus signs."""
    known = {folded(name): name.strip() for name in proposal.headers if name.strip()}
    if folded(written) in known:
        return [known[folded(written)]]
    names = []
    for part in written.split("+"):
        if folded(part) not in known:
            near = get_close_matches(folded(part), known, n=1)
            hint = f'Did you mean "{known[near[0]]}"? ' if near else ""
            raise LayoutError(
                f'the file has no column "{part.strip()}".',
                f"{hint}It has {', '.join(known.values())}. A text for the whole file is given with --always.",
            )
        names.append(known[folded(part)])
    return names


def _with_key(draft: Draft, key: str, written: str, known: frozenset[str]) -> Draft:
    """The draft with one key of the layout set, for example ``times.order`` or ``crosstab.ignored``."""
    if "." not in key and key not in ("name", "about", "scope", "shape", "encoding", "end", "missing", "decimals"):
        raise _not_ours(key, known)
    for value in (written, quoted(written)):
        try:
            return _merged(draft, tomllib.loads(f"{key} = {value}"))
        except tomllib.TOMLDecodeError:
            continue
    raise LayoutError(f'"{key}" is not a key of a layout.', "See docs/layouts.md for the keys.")


def _merged(draft: Mapping[str, Any], added: Mapping[str, Any]) -> Draft:
    merged = dict(draft)
    for key, value in added.items():
        inner = merged.get(key)
        merged[key] = _merged(inner, value) if isinstance(inner, dict) and isinstance(value, dict) else value
    return merged


def _not_ours(key: str, known: frozenset[str]) -> LayoutError:
    near = get_close_matches(key, known, n=1)
    hint = f'Did you mean "{near[0]}"? ' if near else ""
    return LayoutError(f'"{key}" is none of our columns.', f"{hint}They are {', '.join(sorted(known))}.")
