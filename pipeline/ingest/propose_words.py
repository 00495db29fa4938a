"""What the words of an unknown file most likely mean: detection conditions, and marks that say "not detected"."""

import re
from collections.abc import Iterable
from functools import cache
from typing import Final

from pipeline.ingest.file_layout import folded
from pipeline.ingest.layout import ConditionMeaning, Layout, Words
from pipeline.ingest.layout_files import shipped_layouts
from pipeline.ingest.propose_columns import Column

_SIGNS: Final = ("<", "\u2264", "less than", "bdl", "n.d.", "nd")


@cache
def listed_conditions() -> dict[str, ConditionMeaning]:
    """Meaning of the detection conditions of the open Water Quality Exchange lists, by their folded words."""
    return {
        written: meaning
        for layout in shipped_layouts().values()
        if isinstance(layout, Layout)
        for written, meaning in layout.words.condition.items()
    }


def condition_words(texts: Iterable[str]) -> tuple[dict[str, ConditionMeaning], tuple[str, ...]]:
    """Conditions whose meaning is known, and those that a person has to name."""
    listed = listed_conditions()
    written = dict.fromkeys(" ".join(text.split()) for text in texts)
    known = {text: listed[folded(text)] for text in written if folded(text) in listed}
    return known, tuple(text for text in written if folded(text) not in listed)


def not_detected_marks(texts: Iterable[str]) -> list[str]:
    """The usual marks with the signs among the qualifiers that say "below"; empty where the usual ones do."""
    signs = [text for text in dict.fromkeys(text.strip() for text in texts) if folded(text) in _SIGNS]
    usual = Words().not_detected
    added = [sign for sign in signs if folded(sign) not in map(folded, usual)]
    return [*usual, *added] if added else []


def other_media(columns: Iterable[Column]) -> list[dict[str, object]]:
    """Rules that set aside what is no water, where a column says what was sampled."""
    return [
        {"column": column.name, "equals": others, "reason": "not water"}
        for column in columns
        if _MEDIUM.search(column.words) and (others := [text for text in column.texts if folded(text) in _OTHER_MEDIA])
    ]


_MEDIUM: Final = re.compile(r"\b(?:media|medium|matrix)\b")
_OTHER_MEDIA: Final = frozenset(
    {"air", "sediment", "soil", "tissue", "biological", "biological tissue", "habitat", "other", "sludge", "solid"}
)
