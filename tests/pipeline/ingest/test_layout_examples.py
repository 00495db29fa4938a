"""The layouts that the document shows read the files that it shows beside them, cell for cell as it says."""

import re
from pathlib import Path
from typing import NamedTuple

import pytest

from pipeline.ingest.cells import read_cells
from pipeline.ingest.layout import Layout
from pipeline.ingest.layout_files import read_layout
from pipeline.ingest.recognition import choose_layout
from pipeline.ingest.source import decode_source

DOCUMENT = (Path(__file__).parents[3] / "docs" / "layouts.md").read_text("utf-8")
AS_IT_IS = {"line", "column_name", "set_aside"}


class Example(NamedTuple):
    """A layout, a file, and the cells that it makes of it: columns of ours, and a row a cell."""

    title: str
    layout: str
    file: str
    columns: list[str]
    cells: list[list[str]]


def _cells_of_row(row: str) -> list[str]:
    return [cell.strip() for cell in row.strip().removeprefix("|").removesuffix("|").split("|")]


def _examples() -> list[Example]:
    pattern = r"### ([^\n]*)\n[^#]*?```toml\n(.*?)```\n\n```csv\n(.*?)```\n\n((?:\|[^\n]*\n)+)"
    found = []
    for title, layout, file, table in re.findall(pattern, DOCUMENT, re.DOTALL):
        columns, _, *rows = table.splitlines()
        found.append(Example(title, layout, file, _cells_of_row(columns), [_cells_of_row(row) for row in rows]))
    return found


EXAMPLES = _examples()
LAYOUTS = [read_layout(example.title, example.layout) for example in EXAMPLES]


def test_every_layout_that_is_shown_has_its_file() -> None:
    assert len(EXAMPLES) == len(re.findall("```toml", DOCUMENT)) >= 5


@pytest.mark.parametrize("number", range(len(EXAMPLES)), ids=[example.title for example in EXAMPLES])
def test_an_example_is_recognised_and_read_as_the_document_says(number: int) -> None:
    example = EXAMPLES[number]
    source = decode_source("shown.csv", example.file.encode())
    layout = choose_layout(source, LAYOUTS)
    assert layout is LAYOUTS[number]
    assert isinstance(layout, Layout)
    names = [name if name in AS_IT_IS else f"{name}_text" for name in example.columns]
    cells = read_cells(source, layout)
    assert [[str(row[name]) for name in names] for row in cells.table.to_pylist()] == example.cells
    assert cells.lines.total == len(example.file.splitlines())
    assert set(cells.table.column("row_problem").to_pylist()) == {""}
