"""Carries out what a person answered about held cells: a row in the plant folder, then a second reading of them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import get_args

from app.book import Book, open_book
from checks.run import run_checks
from pipeline.deliver import read_again
from pipeline.errors import BarrierbookError
from pipeline.ingest.layout import ConditionMeaning, Layout, ReportingLimit
from pipeline.ingest.layout_files import plant_layouts
from pipeline.ingest.layout_text import layout_source, with_condition, with_reporting_limit
from pipeline.plant.alias_table import FILE as ALIASES
from pipeline.plant.alias_table import with_aliases
from pipeline.plant.amend import amend
from pipeline.plant.answer import Answer, alias_rows
from pipeline.plant.folder import read_plant
from pipeline.plant.meanings import Missing
from pipeline.store import reading
from pipeline.unknown_texts import HeldFor, held_for


@dataclass(frozen=True, slots=True)
class Reread:
    """What became of the held cells of one load after an answer."""

    load_id: int
    file: str
    held_before: int
    held: int
    became: tuple[tuple[str, int], ...]

    def sentence(self) -> str:
        """The same in words."""
        parts = ", ".join(f"{count:,} {outcome}" for outcome, count in self.became)
        cleared = self.held_before - self.held
        return (
            f"{self.file}: {cleared:,} of {self.held_before:,} held cells cleared"
            f"{f' ({parts})' if parts else ''}, {self.held:,} still held."
        )


@dataclass(frozen=True, slots=True)
class Accepted:
    """An answer that was carried out: in which file of the plant folder, and what it did to the held cells."""

    file: str
    answer: Answer
    reread: tuple[Reread, ...]


def suggestions(book: Book, load_id: int | None = None) -> list[HeldFor]:
    """What holds cells and could be answered, of one load or of all, most cells first."""
    with book.store.read() as connection:
        held = reading.held_cells(connection, load_id)
    loads = sorted(held.get_column("load_id").unique().to_list(), reverse=True)
    return [one for load in loads for one in held_for(book.store, book.plant, load, book.layouts)]


def carry_out(book: Book, answer: Answer, held: Sequence[HeldFor]) -> Accepted:
    """Write an answer into the plant folder, and read the cells again that it is about.

    Parameters
    ----------
    held
        What the answer is about, in the loads whose cells shall be read again.

    Raises
    ------
    PlantFolderError, PlantRowError
        When the plant folder would be wrong with the answer in it; it stays as it is then.
    """
    file = _write(book, answer, held)
    mended = open_book(book.store.folder, book.now)
    return Accepted(file, answer, tuple(_reread(mended, load) for load in sorted({one.load_id for one in held})))


def _write(book: Book, answer: Answer, held: Sequence[HeldFor]) -> str:
    folder = book.store.plant_folder
    if answer.by_alias:
        scopes = {layout.scope for layout in _layouts(book, held) if isinstance(layout, Layout)}
        rows = [row for scope in sorted(scopes) or [""] for row in alias_rows(answer, book.plant, scope)]
        rows = list(dict.fromkeys(rows))
        amend(folder, ALIASES, partial(with_aliases, rows=rows), read_whole_folder)
        return ALIASES
    files = sorted({one.layout for one in held})
    for name in files:
        file, text = layout_source(folder, name)
        amend(folder, file, partial(_changed_layout, file, text, answer), read_whole_folder)
    return ", ".join(layout_source(folder, name)[0] for name in files)


def _changed_layout(file: str, text: str, answer: Answer, _: bytes) -> bytes:
    if answer.missing is Missing.CONDITION:
        meaning = _one_of(answer.means, get_args(ConditionMeaning))
        return with_condition(file, text, answer.as_written, meaning, answer.note).encode()
    return with_reporting_limit(file, text, _limit(answer), answer.note).encode()


def _one_of(written: str, meanings: Iterable[ConditionMeaning]) -> ConditionMeaning:
    for meaning in meanings:
        if meaning == written:
            return meaning
    raise BarrierbookError(
        f'a detection condition cannot mean "{written}".', f"It can mean {', '.join(get_args(ConditionMeaning))}."
    )


def _limit(answer: Answer) -> ReportingLimit:
    number, _, unit = answer.means.strip().partition(" ")
    try:
        return ReportingLimit.model_validate({"analyte": answer.as_written, "value": number, "unit": unit.strip()})
    except ValueError as error:
        raise BarrierbookError(
            f'"{answer.means}" is no reporting limit.', 'Write a number, a blank and its unit, such as "0.5 ug/L".'
        ) from error


def _layouts(book: Book, held: Iterable[HeldFor]) -> list[object]:
    names = {one.layout for one in held}
    return [layout for layout in book.layouts if layout.name in names]


def read_whole_folder(folder: Path) -> None:
    """Read a plant folder with its layouts, and raise where anything is wrong."""
    plant_layouts(folder, read_plant(folder).names.scopes)


def _reread(book: Book, load_id: int) -> Reread:
    with book.store.read() as connection:
        before = next(row for row in reading.loads(connection).iter_rows(named=True) if row["load_id"] == load_id)
    report = read_again(book.store, book.plant, load_id, book.layouts, run_checks, book.occasion())
    after = report.account.as_dict()
    became = [
        (name.replace("_", " "), after[name] - before[name])
        for name in ("new", "revision", "duplicate", "set_aside", "empty")
        if after[name] != before[name]
    ]
    return Reread(load_id, report.file_name, before["held"], report.account.held, tuple(became))
