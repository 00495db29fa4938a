"""Layout files: TOML in the product and in the plant folder, each read by the model of its kind."""

import tomllib
from collections.abc import Collection
from importlib import resources
from pathlib import Path

from pydantic import ValidationError

from pipeline.analyzers.readings_layout import ReadingsLayout
from pipeline.errors import Place, PlantRowError
from pipeline.ingest.file_layout import FileLayout
from pipeline.ingest.layout import Layout
from pipeline.ingest.sample_log_layout import SampleLogLayout

# What a file can hold, by the word for it in ``kind``.
KINDS: dict[str, type[FileLayout]] = {"results": Layout, "readings": ReadingsLayout, "sample log": SampleLogLayout}


def read_layout(name: str, content: str) -> FileLayout:
    """Read one layout from the text of its TOML file.

    Raises
    ------
    PlantRowError
        With the file, the key and the fault.
    """
    try:
        written = tomllib.loads(content)
        layout = _model_of(name, written).model_validate(written)
    except tomllib.TOMLDecodeError as error:
        raise PlantRowError(f"is not valid TOML: {error}.", "Mend the line.", Place(name)) from error
    except ValidationError as error:
        fault = error.errors()[0]
        key = ".".join(str(part) for part in fault["loc"])
        raise PlantRowError(
            f"{fault['msg']}.", "See docs/layouts.md for what a layout holds.", Place(name, column=key)
        ) from error
    if layout.gap:
        raise PlantRowError(f"does not say {layout.gap}.", "See docs/layouts.md for what a layout holds.", Place(name))
    return layout


def shipped_layouts() -> dict[str, FileLayout]:
    """The layouts that come with the product, by file name."""
    folder = resources.files("pipeline.ingest").joinpath("layouts")
    return {
        entry.name: read_layout(entry.name, entry.read_text("utf-8"))
        for entry in sorted(folder.iterdir(), key=lambda entry: entry.name)
        if entry.name.endswith(".toml")
    }


def plant_layouts(folder: Path, scopes: Collection[str]) -> dict[str, FileLayout]:
    """The layouts of a plant folder, by file name.

    Parameters
    ----------
    scopes
        Scopes of shipped analyte names that a layout may name.

    Raises
    ------
    PlantRowError
        For the first layout that cannot be used, with its file and key.
    """
    layouts = {path.name: _plant_layout(path) for path in sorted((folder / "layouts").glob("*.toml"))}
    for name, layout in layouts.items():
        if isinstance(layout, Layout) and layout.scope and layout.scope not in scopes:
            raise PlantRowError(
                f'the scope "{layout.scope}" is not known.',
                f"Known are {', '.join(sorted(scopes))}; leave it out where none fits.",
                Place(f"layouts/{name}", column="scope"),
            )
    return layouts


def _plant_layout(path: Path) -> FileLayout:
    name = f"layouts/{path.name}"
    try:
        return read_layout(name, path.read_text("utf-8"))
    except UnicodeDecodeError as error:
        raise PlantRowError(
            "the file is not UTF-8 text.", "Save it again with the encoding UTF-8.", Place(name)
        ) from error


def _model_of(name: str, written: dict[str, object]) -> type[FileLayout]:
    kind = written.get("kind", "results")
    if not isinstance(kind, str) or kind not in KINDS:
        raise PlantRowError(
            f'the kind "{kind}" is not known.', f"Known are {', '.join(KINDS)}.", Place(name, column="kind")
        )
    return KINDS[kind]
