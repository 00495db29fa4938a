"""Layouts of laboratory results: how one sender's file maps to our columns; and the choice by the file's header."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Annotated, Literal, TypeVar

from pydantic import Field, field_validator

from pipeline.errors import FileError, LayoutError, Place
from pipeline.ingest.file_layout import DELIMITERS, Delimiter, FileLayout, LayoutTable, folded
from pipeline.ingest.source import SourceFile, records
from pipeline.vocabulary import Purpose, ReportStatus, SampleType

ConditionMeaning = Literal["below", "below detection limit", "above", "present", "not analyzed", "estimated", "remark"]

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
AnyLayout = TypeVar("AnyLayout", bound=FileLayout)
NEEDED_TARGETS = ("point", "analyte", "value", "unit", "collected")


class SetAsideRule(LayoutTable):
    """Cells whose ``column`` holds one of ``equals`` are not ours to load; ``reason`` is shown."""

    column: str
    equals: tuple[str, ...]
    reason: str


class TypedLimit(LayoutTable):
    """A limit whose kind stands in a column of its own, as in WQX: detection or reporting limit by its words.

    Kinds that are neither (an upper limit, an uncertainty, a water quality standard) are left out.
    """

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
    """What the sender's words mean, column by column; matched without regard to case and outer blanks."""

    condition: dict[str, ConditionMeaning] = Field(default_factory=dict)
    sample_type: dict[str, SampleType] = Field(default_factory=dict)
    purpose: dict[str, Purpose] = Field(default_factory=dict)
    status: dict[str, ReportStatus] = Field(default_factory=dict)
    not_detected: tuple[str, ...] = ("U", "UJ", "ND")

    @field_validator("condition", "sample_type", "purpose", "status", mode="before")
    @classmethod
    def _folded(cls, words: object) -> object:
        return {folded(written): meaning for written, meaning in words.items()} if isinstance(words, dict) else words


class Layout(FileLayout):
    """How one sender's narrow file (one result a line) maps to our columns.

    ``columns`` maps each of our columns to one
    header name, or to several whose texts are joined by a blank (date, time and zone). ``constants`` are texts for
    columns that the file does not have. ``scope`` names the alias scope for analyte names.
    """

    kind: Literal["results"] = "results"
    scope: str = ""
    columns: dict[str, Annotated[tuple[str, ...], Field(min_length=1)]]
    constants: dict[str, str] = Field(default_factory=dict)
    typed_limits: tuple[TypedLimit, ...] = ()
    words: Words = Words()
    set_aside: tuple[SetAsideRule, ...] = ()
    reporting_limits: tuple[ReportingLimit, ...] = ()

    @field_validator("columns", mode="before")
    @classmethod
    def _as_lists(cls, columns: object) -> object:
        if not isinstance(columns, dict):
            return columns
        return {target: [names] if isinstance(names, str) else names for target, names in columns.items()}

    @field_validator("columns", "constants")
    @classmethod
    def _known_targets(cls, columns: dict[str, object]) -> dict[str, object]:
        unknown = sorted(set(columns) - TARGETS)
        if unknown:
            raise ValueError(f"unknown column {', '.join(unknown)}; known are {', '.join(sorted(TARGETS))}")
        return columns

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

    @property
    def gap(self) -> str:
        """Which of our columns that no result can do without the layout leaves out; empty where there is none."""
        constant = self.constants.keys() - {"value"}
        missing = [target for target in NEEDED_TARGETS if target not in self.columns and target not in constant]
        return f"which column holds {', '.join(missing)}" if missing else ""


def choose_layout(source: SourceFile, layouts: Iterable[AnyLayout]) -> AnyLayout:
    """The layout whose signature the file's header carries; among several the one with the longest signature.

    Raises
    ------
    LayoutError
        When none fits, or two fit equally well.
    """
    fitting = [layout for layout in layouts if layout.fits(header_fields(source, layout.delimiter))]
    if not fitting:
        raise LayoutError(
            _why_none(source), "Write a layout for it into the plant folder (docs/layouts.md).", Place(source.name, 1)
        )
    longest = max(len(layout.signature) for layout in fitting)
    best = [layout for layout in fitting if len(layout.signature) == longest]
    if len(best) > 1:
        names = " and ".join(f'"{layout.name}"' for layout in best)
        raise LayoutError(
            f"the layouts {names} fit equally well.",
            "Choose one with --layout, or lengthen a signature.",
            Place(source.name, 1),
        )
    return best[0]


def header_fields(source: SourceFile, delimiter: str) -> list[str]:
    """The names in the first record that is not blank; none where the header cannot be split that way."""
    try:
        return next((record.fields for record in records(source, delimiter) if not record.is_blank), [])
    except FileError:
        return []


def likely_delimiter(source: SourceFile) -> Delimiter:
    """The delimiter by which the header falls into the most names."""
    return max(DELIMITERS, key=lambda delimiter: len(header_fields(source, delimiter)))


def _why_none(source: SourceFile) -> str:
    likely = likely_delimiter(source)
    if likely != ",":
        return (
            f"no layout fits; the header is separated by {DELIMITERS[likely]}, and no layout with that delimiter "
            "knows its names."
        )
    return "no layout knows this header."
