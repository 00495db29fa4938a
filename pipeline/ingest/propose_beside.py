"""Columns of an unknown file that say something of other columns: typed limits, and marks beside each value."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from pipeline.ingest.file_layout import folded
from pipeline.ingest.propose_columns import Column, in_words

_KIND_OF_LIMIT: Final = re.compile(r"detect|report|quantit|censor", re.IGNORECASE)
_NAMES_A_KIND: Final = re.compile(r"\blimit.*\b(?:type|kind)")
_REACH: Final = 8
_BESIDE: Final[tuple[tuple[str, re.Pattern[str]], ...]] = (
    ("qualifier", re.compile(r"\b(?:qualifiers?|quals?|flags?|remarks?|codes?)$")),
    ("reporting_limit", re.compile(r"\b(?:reporting limit|rl|mrl|pql|loq)$")),
    ("detection_limit", re.compile(r"\b(?:detection limit|mdl|lod|dl)$")),
    ("unit", re.compile(r"\b(?:units?|uom)$")),
    ("method", re.compile(r"\bmethod$")),
)


@dataclass(frozen=True, slots=True)
class Companions:
    """Columns beside the values of a crosstab: how they are called, by our columns, and which they are."""

    forms: Mapping[str, str] = field(default_factory=dict)
    names: frozenset[str] = frozenset()


def typed_limits(columns: Sequence[Column]) -> list[dict[str, str]]:
    """Limits whose kind stands in a column of its own, each with the nearest value and unit behind it."""
    found = []
    for kind in columns:
        if not _NAMES_A_KIND.search(kind.words) or kind.share(lambda text: bool(_KIND_OF_LIMIT.search(text))) < 0.5:
            continue
        behind = [one for one in columns if 0 < one.position - kind.position <= _REACH and "limit" in one.words]
        value = next((one for one in behind if one.is_numeric and "unit" not in one.words), None)
        unit = next((one for one in behind if "unit" in one.words), None)
        if value and unit:
            found.append({"kind": kind.name, "value": value.name, "unit": unit.name})
    return found


def companions(names: Sequence[str]) -> Companions:
    """What stands beside each value: a name that comes again and again, or the value's name with a word behind it."""
    again = {name for name, count in Counter(map(folded, names)).items() if count > 1 and name}
    forms: dict[str, str] = {}
    owned: set[str] = set()
    for target, pattern in _BESIDE:
        repeated = next((name for name in names if folded(name) in again and pattern.search(in_words(name))), "")
        if repeated:
            forms[target] = repeated.strip()
            owned |= {name for name in names if folded(name) == folded(repeated)}
            continue
        after = [(name, owner) for name in names if (owner := _owner(name, names)) and pattern.search(in_words(name))]
        words = Counter(folded(name)[len(folded(owner)) :] for name, owner in after)
        if words:
            (word, _), *_ = words.most_common(1)
            forms[target] = "{}" + word
            owned |= {name for name, owner in after if folded(name) == folded(owner) + word}
    return Companions(forms, frozenset(name.strip() for name in owned))


def _owner(name: str, names: Sequence[str]) -> str:
    """The longest other name with which a name begins."""
    own = folded(name)
    owners = [other for other in names if other.strip() and folded(other) != own and own.startswith(folded(other))]
    return max(owners, key=len, default="")
