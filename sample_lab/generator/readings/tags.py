"""The plant's analyzers: their tags, where each stands, what it measures, and its range."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources

STATUS_SUFFIX = ".STATUS"


@dataclass(frozen=True, slots=True)
class Tag:
    """One analyzer's signal.

    ``range_high`` is the upper end of its range [its unit], ``decimals`` what the historian keeps, ``follows`` the
    level that it shows. ``has_status`` says whether the historian tells when it is being calibrated. ``written`` is its
    row of the table, whole.
    """

    tag: str
    range_high: float
    decimals: int
    follows: str
    has_status: bool
    written: Mapping[str, str]


@cache
def tags() -> tuple[Tag, ...]:
    """Every signal, in the order in which the water passes them."""
    content = resources.files("sample_lab.generator.readings").joinpath("tags.csv").read_text("utf-8")
    return tuple(
        Tag(
            row["tag"], float(row["range_high"] or 1), int(row["decimals"]), row["follows"], row["status"] == "yes", row
        )
        for row in csv.DictReader(content.splitlines())
    )  # fmt: skip


def chosen_tags(names: str) -> tuple[Tag, ...]:
    """The signals of the names, separated by blanks; all of them where none is named."""
    wanted = names.split()
    return tuple(tag for tag in tags() if not wanted or tag.tag in wanted)
