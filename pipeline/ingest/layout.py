"""Layouts of laboratory results: how one sender's file maps to our columns."""

import re
from collections.abc import Collection
from decimal import Decimal
from typing import Annotated, Literal, Self

from pydantic import Field, field_validator, model_validator

from pipeline.ingest.crosstab_layout import Crosstab
from pipeline.ingest.file_layout import FileLayout, LayoutTable, checked_pattern, folded
from pipeline.ingest.styles import NumberStyle, TimeStyle
from pipeline.vocabulary import Purpose, ReportStatus, SampleType

ConditionMeaning = Literal["below", "below detection limit", "above", "present", "not analyzed", "estimated", "remark"]
LimitKind = Literal["detection limit", "reporting limit", "neither"]

# What a layout can fill; each is the text column of the same name (with _text) of a staged cell.
TARGETS = frozenset(
    {
        "result_id", "sender", "laboratory", "laboratory_sample", "sample", "point", "analyte", "cas", "fraction",
        "value", "unit", "basis", "qualifier", "condition", "detection_limit", "reporting_limit", "limit_unit",
        "uncertainty", "method", "sample_type", "purpose", "confirmation_of", "collected", "received", "filtered",
        "extracted", "analyzed", "preservation", "receipt_temperature", "dilution", "replicate", "batch", "status",
        "revision", "reported", "reportable", "comment",
    }
)  # fmt: skip
NEEDED_TARGETS = ("point", "analyte", "value", "unit", "collected")


class SetAsideRule(LayoutTable):
    """Cells whose ``column`` holds such a text are not ours to load; ``reason`` is shown.

    The text has to be one of ``equals``, begin with one of ``begins_with``, match the whole pattern ``matches`` or be
    blank (``is_blank``); and never be one of ``unless``. With ``unless`` alone every other text is meant.
    """

    column: str
    reason: str
    equals: tuple[str, ...] = ()
    begins_with: tuple[str, ...] = ()
    matches: str = ""
    is_blank: bool = False
    unless: tuple[str, ...] = ()

    @field_validator("matches")
    @classmethod
    def _a_pattern(cls, pattern: str) -> str:
        return checked_pattern(pattern)

    @model_validator(mode="after")
    def _says_which(self) -> Self:
        if not (self.asks or self.unless):
            raise ValueError(
                "the rule does not say which texts it means: equals, begins_with, matches, is_blank, unless"
            )
        return self

    @property
    def asks(self) -> bool:
        """Whether the rule describes the texts that it means, and not only those that it does not mean."""
        return bool(self.equals or self.begins_with or self.matches or self.is_blank)

    def means(self, text: str) -> bool:
        """Whether a cell with this text in the rule's column is set aside."""
        written = folded(text)
        if written in map(folded, self.unless):
            return False
        return (
            not self.asks
            or written in map(folded, self.equals)
            or any(written.startswith(folded(start)) for start in self.begins_with)
            or bool(self.matches and re.fullmatch(self.matches, text.strip()))
            or (self.is_blank and not written)
        )


class TypedLimit(LayoutTable):
    """A limit whose kind stands in a column of its own, as in WQX: detection or reporting limit by its words.

    Kinds that are neither (an upper limit, an uncertainty, a water quality standard) are left out. ``limit_kind`` of
    the layout's words says it of kinds that do not speak for themselves.
    """

    kind: str
    value: str
    unit: str


class LimitsBeside(LayoutTable):
    """Limits that come in a table of their own: another file of the archive, or another sheet of the workbook.

    ``signature`` are header names by which that table is recognised; ``result_id`` names its column with the identifier
    that a result of the file has as its ``result_id``; the others are those of a :class:`TypedLimit`. A result may have
    several limits.
    """

    signature: Annotated[tuple[str, ...], Field(min_length=2)]
    result_id: str
    kind: str
    value: str
    unit: str


class ReportingLimit(LayoutTable):
    """A method's reporting limit, as the laboratory told the plant, for files that do not print it.

    ``value`` in ``unit``; ``method`` and ``laboratory`` are empty where the limit holds for any.
    """

    analyte: str
    value: Decimal
    unit: str
    method: str = ""
    laboratory: str = ""


class Words(LayoutTable):
    """What the sender's words mean, column by column; matched without regard to case and outer blanks.

    ``missing`` are texts that stand for an empty cell where a number or a time is expected.
    """

    condition: dict[str, ConditionMeaning] = Field(default_factory=dict)
    sample_type: dict[str, SampleType] = Field(default_factory=dict)
    purpose: dict[str, Purpose] = Field(default_factory=dict)
    status: dict[str, ReportStatus] = Field(default_factory=dict)
    limit_kind: dict[str, LimitKind] = Field(default_factory=dict)
    not_detected: tuple[str, ...] = ("U", "UJ", "ND")
    missing: tuple[str, ...] = ()

    @field_validator("condition", "sample_type", "purpose", "status", "limit_kind", mode="before")
    @classmethod
    def _folded(cls, words: object) -> object:
        return {folded(written): meaning for written, meaning in words.items()} if isinstance(words, dict) else words


class Layout(FileLayout):
    """How one sender's file of results maps to our columns.

    ``columns`` maps each of our columns to one header name, or to several whose texts are joined by a blank (date, time
    and zone). ``constants`` are texts for columns that the file does not have. ``patterns`` take what one of our
    columns needs out of a longer text: the group of the pattern, where the whole text matches it. ``scope`` names the
    alias scope for analyte names. ``crosstab`` belongs to the shape "crosstab" alone.
    """

    kind: Literal["results"] = "results"
    shape: Literal["narrow", "crosstab"] = "narrow"
    scope: str = ""
    columns: dict[str, Annotated[tuple[str, ...], Field(min_length=1)]]
    constants: dict[str, str] = Field(default_factory=dict)
    patterns: dict[str, str] = Field(default_factory=dict)
    numbers: NumberStyle = NumberStyle()
    times: TimeStyle = TimeStyle()
    crosstab: Crosstab | None = None
    typed_limits: tuple[TypedLimit, ...] = ()
    limits_beside: LimitsBeside | None = None
    words: Words = Words()
    set_aside: tuple[SetAsideRule, ...] = ()
    reporting_limits: tuple[ReportingLimit, ...] = ()

    @field_validator("columns", mode="before")
    @classmethod
    def _as_lists(cls, columns: object) -> object:
        if not isinstance(columns, dict):
            return columns
        return {target: [names] if isinstance(names, str) else names for target, names in columns.items()}

    @field_validator("columns", "constants", "patterns")
    @classmethod
    def _known_columns(cls, columns: dict[str, object]) -> dict[str, object]:
        _check_targets(columns)
        return columns

    @field_validator("patterns")
    @classmethod
    def _one_group_each(cls, patterns: dict[str, str]) -> dict[str, str]:
        for target, pattern in patterns.items():
            if re.compile(checked_pattern(pattern)).groups != 1:
                raise ValueError(f"the pattern of {target} needs one pair of parentheses, around what is to be taken")
        return patterns

    @field_validator("crosstab")
    @classmethod
    def _known_targets(cls, crosstab: Crosstab | None) -> Crosstab | None:
        if crosstab is not None:
            _check_targets(crosstab.targets)
        return crosstab

    @field_validator("reporting_limits")
    @classmethod
    def _one_limit_each(cls, limits: tuple[ReportingLimit, ...]) -> tuple[ReportingLimit, ...]:
        seen: set[tuple[str, str, str]] = set()
        for limit in limits:
            about = (folded(limit.analyte), folded(limit.method), folded(limit.laboratory))
            if about in seen:
                raise ValueError(f"{limit.analyte} has two limits for one method and laboratory")
            seen.add(about)
        return limits

    @model_validator(mode="after")
    def _one_shape(self) -> Self:
        if (self.shape == "crosstab") != (self.crosstab is not None):
            raise ValueError('shape = "crosstab" and the table [crosstab] belong together')
        if self.crosstab is not None and ("value" in self.columns or "value" in self.crosstab.targets):
            raise ValueError("the values of a crosstab stand under its headings: leave out the column of the value")
        if self.crosstab is not None and (self.typed_limits or self.limits_beside):
            raise ValueError("a crosstab has no typed limits")
        if self.limits_beside is not None and "result_id" not in self.columns:
            raise ValueError("limits in a table of their own are joined by the result_id, which no column fills")
        return self

    @property
    def gap(self) -> str:
        """Which of our columns that no result can do without the layout leaves out; empty where there is none."""
        given = self.columns.keys() | (self.constants.keys() - {"value"})
        if self.crosstab is not None:
            given |= self.crosstab.targets | {"value"}
        missing = [target for target in NEEDED_TARGETS if target not in given]
        return f"which column holds {', '.join(missing)}" if missing else ""


def _check_targets(targets: Collection[str]) -> None:
    unknown = sorted(set(targets) - TARGETS)
    if unknown:
        raise ValueError(f"unknown column {', '.join(unknown)}; known are {', '.join(sorted(TARGETS))}")
