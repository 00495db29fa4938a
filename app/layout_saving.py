"""Proposes a layout for a file that no layout knows, shows its cells as they would be stored, and saves it."""

import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from app.answers import read_whole_folder
from app.book import Book, all_layouts
from checks.run import run_checks
from pipeline.errors import BarrierbookError, LayoutError, Place
from pipeline.ingest.layout import Layout
from pipeline.ingest.preview import Preview, preview
from pipeline.ingest.propose import Proposal, propose
from pipeline.ingest.propose_choices import with_choices
from pipeline.ingest.recognition import choose_layout
from pipeline.ingest.source import SourceFile
from pipeline.plant.amend import amend
from pipeline.plant.folder import read_plant


def proposal_for(
    book: Book,
    source: SourceFile,
    *,
    name: str = "",
    kind: str = "",
    columns: Mapping[str, str] | None = None,
    constants: Mapping[str, str] | None = None,
) -> Proposal:
    """The proposed layout of a file as a person changed it; see :func:`with_choices`."""
    found = propose(source, book.plant, name or Path(source.name).stem, book.now().date(), kind)
    return with_choices(found, columns or {}, constants or {})


def preview_of(book: Book, source: SourceFile, proposal: Proposal) -> tuple[Preview | None, str]:
    """The first cells as they would be stored, or why they cannot be shown."""
    try:
        layout = proposal.layout()
        if not isinstance(layout, Layout):
            return None, f"Cells of a file of {layout.kind} are not shown before it is loaded."
        return preview(source, layout, book.plant, run_checks, book.now()), ""
    except BarrierbookError as error:
        return None, str(error)


def save_layout(book: Book, source: SourceFile, proposal: Proposal, name: str) -> str:
    """Save a proposal as a layout of the plant, once the file is recognised by it.

    Returns
    -------
    str
        Its file within the plant folder.

    Raises
    ------
    BarrierbookError
        When the layout is not complete, when there is one of that name, or when another layout fits the file as well;
        the plant folder stays as it is then.
    """
    file = f"layouts/{file_name(name)}.toml"
    if (book.store.plant_folder / file).exists():
        raise LayoutError("there is a layout of that name.", "Choose another name, or edit the file.", Place(file))
    named = replace(proposal, draft={**proposal.draft, "name": name.strip()})
    named.layout()

    def accept(trial: Path) -> None:
        read_whole_folder(trial)
        chosen = choose_layout(source, all_layouts(trial, read_plant(trial)))
        if chosen.name != name.strip():
            raise LayoutError(
                f'the layout "{chosen.name}" would read the file all the same.',
                "Load the file with it, or change the signature of one of the two.",
                Place(file),
            )

    amend(book.store.plant_folder, file, lambda _: named.text().encode(), accept)
    return file


def file_name(name: str) -> str:
    """A layout's name as the name of its file.

    >>> file_name("Fernholm results, 2026"), file_name("../x")
    ('Fernholm_results_2026', 'x')
    """
    return re.sub(r"[^\w-]+", "_", name).strip("_") or "layout"
