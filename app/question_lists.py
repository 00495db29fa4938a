"""Question lists for laboratories, as a workbook and as a text: the same questions give the same bytes."""

import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path
from typing import Final

import xlsxwriter

from pipeline.due.questions import Question

_COLUMNS: Final = (
    ("No.", 5), ("About", 18), ("Our sample", 18), ("Sample point", 14), ("Collected", 17), ("Analyte", 30),
    ("Question", 70), ("File", 26), ("Line", 7), ("Your answer", 50),
)  # fmt: skip
# Texts of a laboratory's file go into cells as they are: a text that begins with "=" stays a text.
_AS_WRITTEN: Final = {
    "strings_to_formulas": False,
    "strings_to_numbers": False,
    "strings_to_urls": False,
    "in_memory": True,
}
_NOT_IN_A_NAME: Final = re.compile(r"[^a-z0-9]+")


@dataclass(frozen=True, slots=True)
class QuestionList:
    """The questions to one laboratory on one day."""

    plant: str
    laboratory: str
    on: date
    questions: Sequence[Question]

    @property
    def title(self) -> str:
        """What the list is, in one line."""
        return f"Questions of {self.plant} to {self.laboratory}, {self.on.isoformat()}"


def workbook(asked: QuestionList) -> bytes:
    """The list as a workbook (.xlsx), with a column for the answers."""
    written = io.BytesIO()
    book = xlsxwriter.Workbook(written, _AS_WRITTEN)
    book.set_properties({"title": asked.title, "created": datetime.combine(asked.on, time())})
    wrapped = book.add_format({"text_wrap": True, "valign": "top"})
    bold = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
    sheet = book.add_worksheet("Questions")
    sheet.write_string(0, 0, asked.title, book.add_format({"bold": True}))
    for column, (name, width) in enumerate(_COLUMNS):
        sheet.set_column(column, column, width)
        sheet.write_string(2, column, name, bold)
    for number, question in enumerate(asked.questions, start=1):
        row = number + 2
        sheet.write_number(row, 0, number, wrapped)
        for column, text in enumerate(_texts(question), start=1):
            sheet.write_string(row, column, text, wrapped)
        if question.line is not None:
            sheet.write_number(row, 8, question.line, wrapped)
    sheet.freeze_panes(3, 0)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(2)
    book.close()
    return written.getvalue()


def text(asked: QuestionList) -> str:
    """The list as plain text, for a letter."""
    lines = [asked.title, ""]
    for number, question in enumerate(asked.questions, start=1):
        about = ", ".join(
            part
            for part in (
                question.sample and f"sample {question.sample}",
                question.sample_point,
                question.collected and f"collected {question.collected}",
                question.analyte,
            )
            if part
        )
        place = f"{question.file}, line {question.line}" if question.file and question.line else question.file
        lines += [f"{number}. {_sentence(question.subject.value)}: {about}", f"   {question.question}"]
        lines += [f"   ({place})"] if place else []
        lines.append("")
    return "\n".join(lines)


def file_names(laboratories: Sequence[str], on: date) -> dict[str, str]:
    """A file name, without its ending, for the list of each laboratory; no two are alike.

    >>> file_names(["Tarnwick Water Lab.", "tarnwick water lab"], date(2026, 11, 25))["tarnwick water lab"]
    'questions_tarnwick_water_lab_2_2026-11-25'
    """
    names: dict[str, str] = {}
    taken: set[str] = set()
    for laboratory in laboratories:
        plain = _NOT_IN_A_NAME.sub("_", laboratory.casefold()).strip("_") or "laboratory"
        number, name = 1, plain
        while name in taken:
            number += 1
            name = f"{plain}_{number}"
        taken.add(name)
        names[laboratory] = f"questions_{name}_{on.isoformat()}"
    return names


def write_lists(plant: str, asked: Mapping[str, Sequence[Question]], on: date, folder: Path) -> list[Path]:
    """Write the list of each laboratory as .xlsx and .txt; returns the files, in order."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for laboratory, name in file_names(list(asked), on).items():
        one = QuestionList(plant, laboratory, on, asked[laboratory])
        as_workbook, as_text = folder / f"{name}.xlsx", folder / f"{name}.txt"
        as_workbook.write_bytes(workbook(one))
        as_text.write_text(text(one), "utf-8")
        written += [as_workbook, as_text]
    return written


def _texts(question: Question) -> tuple[str, ...]:
    return (
        question.subject.value, question.sample, question.sample_point, question.collected, question.analyte,
        question.question, question.file,
    )  # fmt: skip


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]
