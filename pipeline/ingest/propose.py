"""A layout to start from for a file that no layout knows: our best guess, to be edited by a person."""

import json
import re

from pipeline.ingest.file_layout import folded
from pipeline.ingest.layout import NEEDED_TARGETS
from pipeline.ingest.recognition import Heads
from pipeline.ingest.source import SourceFile

# Words that laboratories put into headers, by what they most likely stand for; the first that fits wins.
_LIKELY: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("result_id", ("result id", "result identifier", "result number")),
    ("laboratory_sample", ("lab sample", "lab id", "laboratory sample", "lab number")),
    ("sample", ("sample id", "sample number", "client sample", "activity")),
    ("point", ("sample point", "location", "station", "site", "point")),
    ("analyzed", ("analyzed", "analysed", "analysis date")),
    ("extracted", ("extracted", "extraction", "prepared", "prep date")),
    ("received", ("received", "receipt date")),
    ("reported", ("reported", "report date")),
    ("collected", ("collected", "sampled", "sample date", "collection", "date")),
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
    delimiter, header_names = Heads(source).likely_header()
    headers = [header.strip() for header in header_names if header.strip()]
    guessed = _guessed(headers)
    needed = [guessed[target] for target in NEEDED_TARGETS if target in guessed]
    signature = needed if len(needed) > 1 else headers[:3]
    lines = [
        f"# Proposed for {_quoted(name)}: check every line. docs/layouts.md says what each of our columns holds.",
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
        header = _most_likely([header for header in headers if header not in guessed.values()], words)
        if header:
            guessed[target] = header
    return guessed


def _most_likely(headers: list[str], words: tuple[str, ...]) -> str:
    """The header with the earliest of the words; among several the shortest: "Result" rather than "Result comment"."""
    for word in words:
        fitting = [header for header in headers if re.search(rf"\b{word}s?\b", _in_words(header))]
        if fitting:
            return min(fitting, key=len)
    return ""


def _in_words(header: str) -> str:
    return folded(re.sub(r"[_/]|(?<=[a-z])(?=[A-Z])", " ", header))


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")  # TOML takes no bare control character
