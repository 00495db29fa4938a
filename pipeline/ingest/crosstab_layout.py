"""What a layout says of a crosstab: which columns hold values, and what the heading of such a column says."""

import re
from collections.abc import Mapping
from typing import Annotated, Final, Literal

from pydantic import Field, field_validator

from pipeline.ingest.file_layout import LayoutTable, folded

ALL_OTHERS: Final = "all others"
_PLACE = re.compile(r"\\\{(\w+)\\\}")


class Crosstab(LayoutTable):
    """One row a sample and one column an analyte, or one row an analyte and one column a sample.

    ``values`` are the headings of the columns that hold values, or "all others": every heading that nothing else in the
    layout names. ``headings`` are the forms in which a heading says what its column is about, such as
    ``{analyte} ({unit})`` or ``{sample}``; the first one that fits counts. ``heading_says`` says it of single headings
    in so many words. ``companions`` are headings of columns beside a value column that say more of its values, such as
    its qualifier; their names stand in the heading, or where it is empty in the ``companions_line``. ``lines`` are
    further lines that say more of each column: so many below the heading, above where
    negative, or the one that begins with that text. Headings under ``ignored`` are not read.
    """

    values: Literal["all others"] | Annotated[tuple[str, ...], Field(min_length=1)] = ALL_OTHERS
    headings: Annotated[tuple[str, ...], Field(min_length=1)] = ("{analyte}",)
    heading_says: dict[str, dict[str, str]] = Field(default_factory=dict)
    companions: dict[str, str] = Field(default_factory=dict)
    companions_stand: Literal["right", "left"] = "right"
    companions_line: int | str = 0
    lines: dict[str, int | str] = Field(default_factory=dict)
    ignored: tuple[str, ...] = ()

    @field_validator("headings")
    @classmethod
    def _forms(cls, forms: tuple[str, ...]) -> tuple[str, ...]:
        for form in forms:
            if not _PLACE.search(re.escape(form)):
                raise ValueError(f'"{form}" holds none of our columns in braces, such as {{analyte}}')
            try:
                heading_pattern(form)
            except re.error:
                raise ValueError(f'"{form}" names one of our columns twice') from None
        return forms

    @field_validator("heading_says")
    @classmethod
    def _folded_headings(cls, says: dict[str, dict[str, str]]) -> dict[str, dict[str, str]]:
        return {folded(heading): texts for heading, texts in says.items()}

    @field_validator("lines")
    @classmethod
    def _not_the_heading(cls, lines: dict[str, int | str]) -> dict[str, int | str]:
        for target, where in lines.items():
            if where in (0, ""):
                raise ValueError(f"the line of {target} is neither a number of lines nor a text that it begins with")
        return lines

    @property
    def targets(self) -> set[str]:
        """Which of our columns the headings, their companions and further lines fill."""
        by_form = {target for form in self.headings for target in _PLACE.findall(re.escape(form))}
        by_word = {target for texts in self.heading_says.values() for target in texts}
        return by_form | by_word | self.companions.keys() | self.lines.keys()

    def said_by(self, heading: str) -> Mapping[str, str]:
        """What a heading says of its column, by our columns; in the layout's own words where it has some."""
        said: dict[str, str] = {}
        for form in self.headings:
            match = heading_pattern(form).fullmatch(" ".join(heading.split()))
            if match:
                said = {target: text.strip() for target, text in match.groupdict().items()}
                break
        return said | self.heading_says.get(folded(heading), {})


def heading_pattern(form: str) -> re.Pattern[str]:
    """The pattern of a form such as ``{analyte} ({unit})``.

    The first column of ours takes as much as it can, so that "Coliform (Quanti-Tray) (MPN/100mL)" has the unit that
    stands last.

    Examples
    --------
    >>> heading_pattern("{analyte} ({unit})").fullmatch("Coliform (Quanti-Tray) (MPN/100mL)")["unit"]
    'MPN/100mL'
    """
    escaped = re.escape(" ".join(form.split())).replace(r"\ ", r"\s*")
    return re.compile(_PLACE.sub(r"(?P<\1>.+)", escaped))
