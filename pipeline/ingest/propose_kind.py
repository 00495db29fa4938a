"""What an unknown file most likely holds: results, readings or samples taken; and drafts of the last two."""

import re
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any, Final

from pipeline.ingest.propose_columns import Column, Guess, guess_columns, header_words, is_value
from pipeline.ingest.propose_crosstab import analyte_headings
from pipeline.ingest.propose_styles import date_evidence
from pipeline.ingest.propose_tables import LikelyTable
from pipeline.ingest.sample_log_layout import SAMPLE_TARGETS
from pipeline.plant.analyzers import tag_names
from pipeline.plant.plant import Plant
from pipeline.plant.shipped_names import folded

Draft = dict[str, Any]
Parts = tuple[Draft, dict[str, str], list[str]]

_CUSTODY: Final = re.compile(
    r"\b(sampler|relinquished|custody|bottles?|containers?|requested|collected by|sampled by)\b"
)
_STATUS: Final = re.compile(r"\b(status|quality|flag|state)\b")
_MISSING: Final = frozenset({"na", "n/a", "nan", "null", "none", "-", "--", "?", "bad", "no data", "missing"})
_REGULAR: Final = 0.8
_FEWEST_ROWS: Final = 20


def likely_kind(columns: Sequence[Column], table: LikelyTable, plant: Plant) -> str:
    """ "readings" where tags are known or times follow each other regularly, "sample log" without any value."""
    tags = tag_names(plant.analyzers.values())
    named = any(folded(column.name) in tags for column in columns)
    if named or any(column.share(lambda text: folded(text) in tags) > 0.5 for column in columns):
        return "readings"
    if _is_regular(columns, table) and not _result_columns(columns, plant):
        return "readings"
    words = " ".join(column.words for column in columns)
    measured = analyte_headings(columns, plant, table.unit_line) or _result_columns(columns, plant)
    return "sample log" if not measured and _CUSTODY.search(words) else "results"


def _result_columns(columns: Sequence[Column], plant: Plant) -> bool:
    guesses = guess_columns(columns, plant, ("analyte", "value", "unit", "collected", "point"))
    return "value" in guesses and "analyte" in guesses


def _is_regular(columns: Sequence[Column], table: LikelyTable) -> bool:
    """Whether the first times follow each other at one interval, each with at least one number beside it."""
    times = next((column for column in columns if column.is_date and any(":" in text for text in column.texts)), None)
    if times is None or len(table.rows) < _FEWEST_ROWS or not any(column.is_numeric for column in columns):
        return False
    minutes = [_minutes(row[times.position]) for row in table.rows[:300]]
    steps = [(after - before) % 1440 for before, after in pairwise(minutes)]
    usual = max(set(steps), key=steps.count)
    return usual > 0 and steps.count(usual) >= _REGULAR * len(steps)


def _minutes(text: str) -> int:
    match = re.search(r"(\d{1,2}):(\d{2})", text)
    return 60 * int(match[1]) + int(match[2]) if match else 0


def readings_draft(about: Draft, columns: Sequence[Column], plant: Plant) -> Parts:
    """A layout of readings: the time, and one tag a column or one reading a line."""
    tags = tag_names(plant.analyzers.values())
    guesses = guess_columns(columns, plant, ("collected",))
    time = guesses.get("collected")
    used = set(time.names) if time else set()
    tag = next((one for one in columns if one.share(lambda text: folded(text) in tags) > 0.5), None)
    status = next((one for one in columns if one.name not in used and _STATUS.search(one.words)), None)
    value = next((one for one in columns if one.is_numeric and one.name not in used and one is not status), None)
    draft: Draft = {**about, "shape": "narrow" if tag and value else "wide"}
    found: dict[str, Column | None] = {"status": status}
    if tag and value:
        found = {"tag": tag, "value": value, "status": status}
    chosen = {target: column.name for target, column in found.items() if column is not None}
    times = {"time": time.names[0] if len(time.names) == 1 else list(time.names)} if time else {}
    known = [one.name for one in columns if folded(one.name) in tags] or [one.name for one in columns if one.is_numeric]
    beside = [name for name in (*chosen.values(), *known) if name not in used]
    draft["signature"] = list(dict.fromkeys([*used, *beside]))[:3]
    draft["columns"] = {**times, **chosen}
    missing = _missing_marks([value] if tag and value else [one for one in columns if one.is_numeric])
    if missing:
        draft["missing"] = missing
    draft["time"] = {"zone": "plant", **_formats(columns, time)}
    undecided = ["Is the clock of the file the plant's local time? Else set time.zone to UTC or an offset like -08:00."]
    reasons = {"columns.time": time.reason} if time else {}
    if not (tag and value) and not any(folded(column.name) in tags for column in columns):
        undecided.append("No heading is a tag of analyzers.csv: add the tags there, with their other names.")
    return draft, reasons, undecided


def _missing_marks(columns: Sequence[Column | None]) -> list[str]:
    texts = dict.fromkeys(text for column in columns if column for text in column.texts if not is_value(text))
    return [text for text in texts if folded(text) in _MISSING]


def _formats(columns: Sequence[Column], time: Guess | None) -> Mapping[str, list[str]]:
    """The pattern of times that are not in ISO 8601, in the letters of ``strptime``."""
    if time is None:
        return {}
    by_name = {column.name: column for column in columns}
    texts = [text for name in time.names for text in by_name[name].texts]
    order = date_evidence(texts).order
    if not order:
        return {}
    example = by_name[time.names[0]].texts[0]
    sign = next((sign for sign in example if sign in "./-"), "/")
    year = "%Y" if re.search(r"\d{4}", example) else "%y"
    day = {"day first": ["%d", "%m", year], "month first": ["%m", "%d", year], "year first": [year, "%m", "%d"]}[order]
    clock = next((text for text in texts if ":" in text), "")
    half = "%I" if re.search(r"[ap]\.?m", clock, re.IGNORECASE) else "%H"
    written = sign.join(day)
    if clock:
        written += f" {half}:%M{':%S' if clock.count(':') > 1 else ''}{' %p' if half == '%I' else ''}"
    return {"formats": [written]}


def sample_log_draft(about: Draft, columns: Sequence[Column], plant: Plant) -> Parts:
    """A layout of a custody sheet or field log: one sample, or one bottle, a line."""
    guesses = guess_columns(columns, plant, SAMPLE_TARGETS, header_words("sample_log"))
    draft: Draft = dict(about)
    names = [name for target in ("sample", "point", "collected") if target in guesses for name in guesses[target].names]
    others = [name for guess in guesses.values() for name in guess.names if name not in names]
    draft["signature"] = names if len(names) > 1 else [*names, *others][:3]
    draft["columns"] = {
        target: guess.names[0] if len(guess.names) == 1 else list(guess.names) for target, guess in guesses.items()
    }
    reasons = {f"columns.{target}": guess.reason for target, guess in guesses.items()}
    order = date_evidence(text for column in columns if column.is_date for text in column.texts).order
    undecided = (
        [] if not order else ["Times of custody sheets are read in ISO 8601 alone: ask for the sheet with them."]
    )
    return draft, reasons, undecided
