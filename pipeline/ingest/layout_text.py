"""Adds to a layout file what a person answered, as text: its comments, its order and its line ends stay as they are."""

import json
import re
from importlib import resources
from pathlib import Path
from typing import Final

from pipeline.errors import LayoutError, Place, PlantRowError
from pipeline.ingest.file_layout import folded
from pipeline.ingest.layout import ConditionMeaning, Layout, ReportingLimit
from pipeline.ingest.layout_files import read_layout

_CONDITIONS: Final = re.compile(
    r"^[ \t]*\[[ \t]*words[ \t]*\.[ \t]*condition[ \t]*\][^\r\n]*(\r\n|\n|\r|$)", re.MULTILINE
)


def with_condition(name: str, content: str, word: str, meaning: ConditionMeaning, note: str) -> str:
    """A layout that also knows what a detection condition means.

    Raises
    ------
    PlantRowError
        When the layout is written in a way to which nothing can be added safely.
    """
    end = _line_end(content)
    comment = "".join(f"{_comment(line)}{end}" for line in note.splitlines())
    line = f"{comment}{quoted(' '.join(word.split()))} = {quoted(meaning)}{end}"
    table = _CONDITIONS.search(content)
    if table:
        changed = f"{content[: table.end()]}{'' if table[1] else end}{line}{content[table.end() :]}"
    else:
        changed = f"{_closed(content, end)}{end}[words.condition]{end}{line}"
    before = _layout(name, content)
    words = before.words.model_copy(update={"condition": {**before.words.condition, folded(word): meaning}})
    return _checked(name, changed, before.model_copy(update={"words": words}))


def with_reporting_limit(name: str, content: str, limit: ReportingLimit, note: str) -> str:
    """A layout that also knows a reporting limit which the laboratory does not print.

    Raises
    ------
    PlantRowError
        As for :func:`with_condition`; also where the layout knows another limit for it already.
    """
    end = _line_end(content)
    lines = ["", "[[reporting_limits]]", *(_comment(line) for line in note.splitlines())]
    for key, value in limit.model_dump().items():
        if value != "":
            lines.append(f"{key} = {value if key == 'value' else quoted(str(value))}")
    changed = _closed(content, end) + "".join(f"{line}{end}" for line in lines)
    before = _layout(name, content)
    return _checked(name, changed, before.model_copy(update={"reporting_limits": (*before.reporting_limits, limit)}))


def layout_source(folder: Path, name: str) -> tuple[str, str]:
    """File and text of a layout by its name: the plant folder's own, else the shipped one that it would replace.

    Raises
    ------
    LayoutError
        When there is no layout of that name.
    """
    own = {path.name: path.read_text("utf-8") for path in sorted((folder / "layouts").glob("*.toml"))}
    shipped = {
        entry.name: entry.read_text("utf-8")
        for entry in resources.files("pipeline.ingest").joinpath("layouts").iterdir()
        if entry.name.endswith(".toml")
    }
    for file, content in {**shipped, **own}.items():
        if read_layout(f"layouts/{file}", content).name == name:
            return f"layouts/{file}", content
    raise LayoutError(f'there is no layout "{name}".', "Load the file again with a layout that is there.")


def quoted(text: str) -> str:
    """A text as a TOML basic string.

    >>> print(quoted('say "NO\N{SUBSCRIPT THREE}"'))
    "say \\"NO\N{SUBSCRIPT THREE}\\""
    """
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _comment(text: str) -> str:
    return f"# {''.join(sign if sign.isprintable() else ' ' for sign in text)}"


def _line_end(content: str) -> str:
    return "\r\n" if "\r\n" in content else "\n"


def _closed(content: str, end: str) -> str:
    return content if not content or content.endswith(("\n", "\r")) else content + end


def _layout(name: str, content: str) -> Layout:
    layout = read_layout(name, content)
    if not isinstance(layout, Layout):
        raise PlantRowError("is no layout of laboratory results.", "Choose another layout.", Place(name))
    return layout


def _checked(name: str, changed: str, expected: Layout) -> str:
    """The changed text, once it says what was meant and nothing else."""
    try:
        agrees = _layout(name, changed) == expected
    except PlantRowError:
        agrees = False
    if not agrees:
        raise PlantRowError(
            "nothing can be added to this layout without changing how it is written.",
            "Write the entry by hand; docs/layouts.md shows its form.",
            Place(name),
        )
    return changed
