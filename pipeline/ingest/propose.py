"""A layout for a file that no layout knows: our best guess of everything, each part with its reason, and what is open.

Nothing is loaded with a proposal. A person looks at it, at the cells as they would be stored, changes what is wrong and
saves it; it is then a layout of the plant like any other.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, Final

from pipeline.ingest.file_layout import FileLayout, folded
from pipeline.ingest.layout import NEEDED_TARGETS, TARGETS
from pipeline.ingest.layout_files import read_layout
from pipeline.ingest.propose_beside import Companions, companions, typed_limits
from pipeline.ingest.propose_columns import (
    NUMBER_TARGETS,
    TIME_TARGETS,
    Column,
    Guess,
    columns_of,
    guess_columns,
    is_header_word,
)
from pipeline.ingest.propose_crosstab import Headings, analyte_headings, sample_headings
from pipeline.ingest.propose_kind import likely_kind, readings_draft, sample_log_draft
from pipeline.ingest.propose_styles import date_evidence, first_of_hundred_years, number_evidence
from pipeline.ingest.propose_tables import LikelyTable, likely_table
from pipeline.ingest.propose_text import layout_text
from pipeline.ingest.propose_words import condition_words, not_detected_marks, other_media
from pipeline.ingest.sample_log_layout import NEEDED_SAMPLE_TARGETS
from pipeline.ingest.source import SourceFile
from pipeline.plant.plant import Plant

Draft = dict[str, Any]
"""A layout as it would stand in its TOML file."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """What a file most likely is.

    Attributes
    ----------
    draft
        The layout as it would be saved.
    reasons
        Why, by the key of the draft ("columns.point").
    undecided
        What a person has to say or to check before the layout can be used or trusted, in sentences.
    headers
        Every name of the file's header, for a person to choose from.
    unused
        Those that nothing in the draft reads.
    """

    draft: Draft
    reasons: Mapping[str, str]
    undecided: tuple[str, ...]
    headers: tuple[str, ...]
    unused: tuple[str, ...] = field(default=())

    @property
    def name(self) -> str:
        """Name of the layout."""
        return str(self.draft["name"])

    def text(self) -> str:
        """The layout as a commented TOML file."""
        return layout_text(self.draft, self.reasons, self.undecided, self.unused)

    def layout(self) -> FileLayout:
        """The layout, ready to read files with.

        Raises
        ------
        PlantRowError
            When something is missing or contradicts itself.
        """
        return read_layout(f"{self.name}.toml", self.text())


def propose(source: SourceFile, plant: Plant, name: str, today: date, kind: str = "") -> Proposal:
    """Guess the layout of a file.

    Parameters
    ----------
    name
        Name for the layout, for instance the file's.
    today
        Decides which century two digits of a year most likely mean.
    kind
        What the file holds, where a person said so: "results", "readings" or "sample log".

    Raises
    ------
    LayoutError
        When nothing in the file looks like a header with rows below it.
    """
    table = likely_table(
        source,
        lambda text: is_header_word(text) or bool(plant.names.analyte(text).analyte),
        lambda text: plant.units.resolve(text).unit is not None,
    )
    columns = columns_of(table.names, table.rows)
    kind = kind or likely_kind(columns, table, plant)
    about: Draft = {"kind": kind, "name": name, "about": f"As proposed for the file {source.name}."}
    if table.delimiter not in ("", ","):
        about["delimiter"] = table.delimiter
    if kind == "readings":
        return _finished(readings_draft(about, columns, plant), table)
    if kind == "sample log":
        return _finished(sample_log_draft(about, columns, plant), table)
    return _finished(_results_draft(about, columns, table, plant, today), table)


def _results_draft(
    about: Draft, columns: Sequence[Column], table: LikelyTable, plant: Plant, today: date
) -> tuple[Draft, dict[str, str], list[str]]:
    limits = typed_limits(columns)
    taken = {name for limit in limits for name in limit.values()}
    free = [column for column in columns if column.name not in taken]
    guesses = guess_columns(free, plant, TARGETS)
    headings, beside = _headings(free, guesses, table, plant)
    undecided: list[str] = []
    if headings:
        of_rows = [column for column in free if column.name not in {*headings.values, *beside.names}]
        guesses = guess_columns(of_rows, plant, TARGETS - {"value"} - _said_by(headings, beside, table, plant))
    reasons = {f"columns.{target}": guess.reason for target, guess in guesses.items()}
    draft: Draft = dict(about)
    if headings:
        draft["shape"], reasons["shape"] = "crosstab", headings.reason
    draft["signature"] = list(headings.values[:2]) if headings else []
    draft["columns"] = {target: _one_or_many(guess.names) for target, guess in guesses.items()}
    said = _said_by(headings, beside, table, plant) if headings else set()
    constants = _constants(table, plant, said | guesses.keys())
    if constants:
        draft["constants"] = constants
        reasons |= {f"constants.{target}": "it stands above the header" for target in constants}
    _add_times(draft, reasons, undecided, columns, guesses, headings, today)
    _add_numbers(draft, reasons, undecided, columns, guesses, headings)
    if headings:
        draft["crosstab"] = _crosstab(headings, beside, columns, guesses, table, plant)
        undecided += _open_headings(headings, beside, columns, draft)
    draft["signature"] = signature_of(draft)
    if limits:
        draft["typed_limits"] = limits
    words = _words(columns, guesses, undecided)
    if words:
        draft["words"] = words
    if aside := other_media(columns):
        draft["set_aside"], reasons["set_aside"] = aside, "only water is ours"
    return draft, reasons, undecided


def _headings(
    columns: Sequence[Column], guesses: Mapping[str, Guess], table: LikelyTable, plant: Plant
) -> tuple[Headings | None, Companions]:
    """The headings of a crosstab, and the columns beside its values; ``None`` where each row is one result."""
    beside = companions([column.name for column in columns])
    free = [column for column in columns if column.name not in beside.names]
    by_analyte = analyte_headings(free, plant, table.unit_line)
    if by_analyte and "analyte" not in guesses:
        return by_analyte, beside
    if "analyte" in guesses and not {"collected", "value"} <= guesses.keys():
        return sample_headings(columns, plant), Companions()
    return None, Companions()


def _said_by(headings: Headings, beside: Companions, table: LikelyTable, plant: Plant) -> set[str]:
    forms = " ".join(headings.forms)
    said = {target for target in TARGETS if f"{{{target}}}" in forms}
    said |= {target for texts in headings.says.values() for target in texts}
    return said | beside.forms.keys() | _lines(table, plant).keys()


def _lines(table: LikelyTable, plant: Plant) -> dict[str, int]:
    """Lines that say more of each column: units below the header, sample points above it.

    Where headings come again, the line above them tells one from the other, whether its names are known or not.
    """
    lines = {"unit": 1} if table.unit_line else {}
    said = [text for text in table.line_above if text.strip()]
    known = sum(1 for text in said if plant.names.point(text) is not None)
    names = [folded(name) for name in table.names if name.strip()]
    if len(said) > 1 and (known > len(said) / 2 or len(set(names)) < len(names)):
        lines["point"] = -1
    return lines


def signature_of(draft: Draft) -> list[str]:
    """Names by which the file is known again: those of the columns that no file of its kind can do without."""
    by_target = {target: [names] if isinstance(names, str) else names for target, names in draft["columns"].items()}
    wanted = [name for target in needed(draft) for name in by_target.get(target, ())]
    others = [name for target, names in by_target.items() if target not in needed(draft) for name in names]
    names = list(dict.fromkeys([*wanted, *others]))[: max(len(dict.fromkeys(wanted)), 2)]
    headings = [name for name in draft.get("signature", ()) if name not in [*wanted, *others]]
    # A day and a place stand in many files: a crosstab is known by one of its analytes too.
    return [*names, *headings[:1]] if "crosstab" in draft else names


def _one_or_many(names: Sequence[str]) -> str | list[str]:
    return names[0] if len(names) == 1 else list(names)


def _constants(table: LikelyTable, plant: Plant, said_elsewhere: Collection[str]) -> dict[str, str]:
    """What the titles of a file say for all of it: its laboratory, its sample point."""
    found: dict[str, str] = {}
    for text in table.titles:
        for piece in dict.fromkeys((text, text.partition(":")[2].strip())):
            if piece and plant.names.laboratory(piece):
                found.setdefault("laboratory", piece)
            if piece and plant.names.point(piece):
                found.setdefault("point", piece)
    return {target: text for target, text in found.items() if target not in said_elsewhere}


def _add_times(
    draft: Draft,
    reasons: dict[str, str],
    undecided: list[str],
    columns: Sequence[Column],
    guesses: Mapping[str, Guess],
    headings: Headings | None,
    today: date,
) -> None:
    read = {name for target in TIME_TARGETS if target in guesses for name in guesses[target].names}
    dates = [text for column in columns if column.name in read for text in column.texts]
    if headings and "{collected}" in headings.forms:
        dates += headings.values
    found = date_evidence(dates)
    times: Draft = {}
    if found.order:
        times["order"], reasons["times.order"] = found.order, found.reason
    if found.doubt:
        undecided.append(f"{found.doubt} Set times.order.")
    if found.two_digits:
        times["first_year"] = first_of_hundred_years(today)
        reasons["times.first_year"] = "years have two digits: they are taken for the hundred years up to this one"
    if times:
        draft["times"] = times


def _add_numbers(
    draft: Draft,
    reasons: dict[str, str],
    undecided: list[str],
    columns: Sequence[Column],
    guesses: Mapping[str, Guess],
    headings: Headings | None,
) -> None:
    read = {name for target in NUMBER_TARGETS if target in guesses for name in guesses[target].names}
    read |= set(headings.values) if headings else set()
    marks = number_evidence(text for column in columns if column.name in read for text in column.texts)
    if (marks.decimal, marks.thousands) != (".", ""):
        draft["numbers"] = {"decimal": marks.decimal, **({"thousands": marks.thousands} if marks.thousands else {})}
        reasons["numbers"] = marks.reason
    if marks.doubt:
        undecided.append(f"{marks.doubt} Set numbers.decimal and numbers.thousands.")


def _crosstab(
    headings: Headings,
    beside: Companions,
    columns: Sequence[Column],
    guesses: Mapping[str, Guess],
    table: LikelyTable,
    plant: Plant,
) -> Draft:
    """All headings but those known to be none hold values: a new one next month is then noticed and not passed over."""
    used = {name for guess in guesses.values() for name in guess.names} | set(headings.values) | beside.names
    crosstab: Draft = {"headings": list(headings.forms)}
    ignored = [column.name for column in columns if column.name not in used and not _may_be_values(column)]
    if any(ignored):
        crosstab["ignored"] = list(dict.fromkeys(name for name in ignored if name))
    if beside.forms:
        crosstab["companions"] = dict(beside.forms)
    if lines := _lines(table, plant):
        crosstab["lines"] = lines
    if headings.says:
        crosstab["heading_says"] = {heading: dict(texts) for heading, texts in headings.says.items()}
    return crosstab


def _may_be_values(column: Column) -> bool:
    return column.is_numeric and not column.counts_rows


def _open_headings(headings: Headings, beside: Companions, columns: Sequence[Column], draft: Draft) -> list[str]:
    asked = []
    read = {*headings.values, *beside.names}
    for names in draft["columns"].values():
        read |= {names} if isinstance(names, str) else set(names)
    unknown = [column.name for column in columns if column.name not in read and column.name and _may_be_values(column)]
    if unknown:
        asked.append(
            f"{_listed(unknown)} holds numbers and names no known analyte, so its cells would be held: say what it is "
            "under crosstab.heading_says, or add it to crosstab.ignored."
        )
    if headings.without_unit and "unit" not in draft.get("constants", {}) and "unit" not in draft["columns"]:
        asked.append(f"The unit of {_listed(headings.without_unit)} is not said: give it as a constant.")
    return asked


def _words(columns: Sequence[Column], guesses: Mapping[str, Guess], undecided: list[str]) -> Draft:
    by_name = {column.name: column for column in columns}
    words: Draft = {}
    if "condition" in guesses:
        known, unknown = condition_words(by_name[guesses["condition"].names[0]].texts)
        if known:
            words["condition"] = known
        if unknown:
            undecided.append(f"What {_listed(unknown)} says of a value is not known: name it under words.condition.")
    if "qualifier" in guesses:
        marks = not_detected_marks(by_name[guesses["qualifier"].names[0]].texts)
        if marks:
            words["not_detected"] = marks
    return words


def _listed(texts: Sequence[str]) -> str:
    shown = ", ".join(f'"{text}"' for text in texts[:3])
    return f"{shown} and {len(texts) - 3} more" if len(texts) > 3 else shown


def _finished(parts: tuple[Draft, dict[str, str], list[str]], table: LikelyTable) -> Proposal:
    draft, reasons, undecided = parts
    if table.other_sheets:
        undecided.append(f"The sheets {_listed(table.other_sheets)} have another header and are not read.")
    return completed(Proposal(draft, reasons, tuple(undecided), table.names))


def completed(proposal: Proposal) -> Proposal:
    """The proposal with what is still missing among its open questions, and with the columns that nothing reads."""
    draft = proposal.draft
    asked = [said for said in proposal.undecided if not said.startswith(_NOBODY_SAYS)]
    missing = [target for target in needed(draft) if target not in _given(draft)]
    asked += [f"{_NOBODY_SAYS} {target}: {_HOW_TO_SAY[target]}" for target in missing]
    read = {
        name for names in draft.get("columns", {}).values() for name in ([names] if isinstance(names, str) else names)
    }
    named = [name.strip() for name in proposal.headers if name.strip() and name.strip() not in read]
    # Every other heading of a crosstab is a column of values, and every other one of a wide file a tag.
    unused = tuple(draft["crosstab"].get("ignored", ())) if "crosstab" in draft else tuple(named)
    if draft.get("shape") == "wide":
        unused = ()
    return replace(proposal, undecided=tuple(asked), unused=unused)


_NOBODY_SAYS: Final = "Nothing says the"
_HOW_TO_SAY: Final = {
    "point": "name its column, or give one sample point for the whole file.",
    "analyte": "name its column, or give one analyte for the whole file.",
    "value": "name its column.",
    "unit": "name its column, or give one unit for the whole file.",
    "collected": "name its column, or the columns of date and time.",
    "time": "name its column, or the columns of date and time.",
    "tag": "name its column.",
    "sample": "name its column.",
}


def needed(draft: Draft) -> tuple[str, ...]:
    """Which of our columns no file of the draft's kind can do without."""
    if draft["kind"] == "readings":
        return ("time", "tag", "value") if draft.get("shape") == "narrow" else ("time",)
    return NEEDED_SAMPLE_TARGETS if draft["kind"] == "sample log" else NEEDED_TARGETS


def _given(draft: Draft) -> set[str]:
    given = set(draft.get("columns", {})) | (set(draft.get("constants", {})) - {"value"})
    if "crosstab" in draft and draft["kind"] == "results":
        crosstab = draft["crosstab"]
        given |= {"value"} | set(crosstab.get("lines", {})) | set(crosstab.get("companions", {}))
        given |= {target for form in crosstab["headings"] for target in TARGETS if f"{{{target}}}" in form}
        given |= {target for texts in crosstab.get("heading_says", {}).values() for target in texts}
    return given
