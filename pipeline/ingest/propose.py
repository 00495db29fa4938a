"""A layout to start from for a file that no layout knows: our best guess, to be edited by a person."""

import json
import re

from pipeline.ingest.layout import NEEDED_TARGETS, folded, header_fields, likely_delimiter
from pipeline.ingest.source import SourceFile

# Words that laboratories put into headers, by what they most likely stand for; the first that fits wins.
_LIKELY: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("laboratory_sample", ("lab sample", "lab id", "laboratory sample", "lab number")),
    ("sample", ("sample id", "sample number", "client sample", "activity")),
    ("point", ("sample point", "location", "station", "site", "point")),
    ("collected", ("collected", "sampled", "sample date", "collection", "date")),
    ("analyzed", ("analyzed", "analysed", "analysis date")),
    ("extracted", ("extracted", "extraction", "prepared", "prep date")),
    ("received", ("received", "receipt date")),
    ("cas", ("cas",)),
    ("analyte", ("analyte", "parameter", "characteristic", "compound", "test name", "determinand")),
    ("detection_limit", ("detection limit", "mdl", "lod")),
    ("reporting_limit", ("reporting limit", "quantitation", "mrl", "rl", "loq")),
    ("unit", ("unit", "uom")),
    ("basis", ("basis", "speciation")),
    ("qualifier", ("qualifier", "flag", "remark code")),
    ("method", ("method",)),
    ("fraction", ("fraction",)),
    ("value", ("value", "result", "concentration")),
    ("laboratory", ("laboratory", "lab name", "lab")),
    ("comment", ("comment", "note", "remark")),
)


def proposed_layout(name: str, source: SourceFile) -> str:
    """The text of a layout for a file with an unknown header: what could be guessed filled in, the rest to be named.

    Parameters
    ----------
    name
        Name for the layout, for instance the file's.
    """
    delimiter = likely_delimiter(source)
    headers = [header.strip() for header in header_fields(source, delimiter) if header.strip()]
    guessed = _guessed(headers)
    signature = [guessed[target] for target in NEEDED_TARGETS if target in guessed] or headers[:3]
    lines = [
        f"# Proposed for {name}: check every line. docs/layouts.md says what each of our columns holds.",
        f"name = {_quoted(name)}",
        f"delimiter = {_quoted(delimiter)}",
        f"signature = [{', '.join(_quoted(header) for header in signature)}]",
        "",
        "[columns]",
        *(f"{target} = {_quoted(header)}" for target, header in guessed.items()),
        *(f'{target} = "?"  # which column?' for target in NEEDED_TARGETS if target not in guessed),
        "",
        "# Columns of the file that nothing above uses:",
        *(f"#   {_quoted(header)}" for header in headers if header not in guessed.values()),
    ]
    return "\n".join(lines) + "\n"


def _guessed(headers: list[str]) -> dict[str, str]:
    guessed: dict[str, str] = {}
    for target, words in _LIKELY:
        for header in headers:
            written = folded(header.replace("_", " "))
            if header not in guessed.values() and any(re.search(rf"\b{word}\b", written) for word in words):
                guessed[target] = header
                break
    return guessed


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
