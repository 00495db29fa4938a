"""Layouts of custody sheets and field logs: how one sheet of samples taken maps to our columns."""

from typing import Annotated, Literal

from pydantic import Field, field_validator

from pipeline.ingest.file_layout import FileLayout, LayoutTable, folded
from pipeline.ingest.layout import SetAsideRule
from pipeline.ingest.styles import TimeStyle
from pipeline.vocabulary import Purpose

SAMPLE_TARGETS = frozenset(
    {
        "sample", "laboratory_sample", "laboratory", "bottle", "point", "collected", "sampler", "relinquished",
        "received", "purpose", "confirmation_of", "repeat_of", "split_of", "requested", "revision", "issued", "comment",
    }
)  # fmt: skip
"""What a layout can fill; each is a text of :class:`pipeline.ingest.sample_log_lines.WrittenSample`."""

NEEDED_SAMPLE_TARGETS = ("sample", "point", "collected")


class SampleLogWords(LayoutTable):
    """What the words of a sheet mean; matched without regard to case and outer blanks.

    ``requested`` unfolds a word for an analysis into the analytes, groups or categories that it stands for.
    """

    purpose: dict[str, Purpose] = Field(default_factory=dict)
    requested: dict[str, tuple[str, ...]] = Field(default_factory=dict)

    @field_validator("purpose", "requested", mode="before")
    @classmethod
    def _folded(cls, words: object) -> object:
        return {folded(written): meaning for written, meaning in words.items()} if isinstance(words, dict) else words


class SampleLogLayout(FileLayout):
    """How one sheet of samples (one sample, or one bottle, a line) maps to our columns.

    ``columns`` maps each of our columns to one header name, or to several whose texts are joined by a blank (date and
    time). ``constants`` are texts for columns that the sheet does not have. The value cell of a line is its sample id.
    """

    kind: Literal["sample log"] = "sample log"
    columns: dict[str, Annotated[tuple[str, ...], Field(min_length=1)]]
    constants: dict[str, str] = Field(default_factory=dict)
    times: TimeStyle = TimeStyle()
    words: SampleLogWords = SampleLogWords()
    set_aside: tuple[SetAsideRule, ...] = ()

    @field_validator("columns", mode="before")
    @classmethod
    def _as_lists(cls, columns: object) -> object:
        if not isinstance(columns, dict):
            return columns
        return {target: [names] if isinstance(names, str) else names for target, names in columns.items()}

    @field_validator("columns", "constants")
    @classmethod
    def _known_targets(cls, columns: dict[str, object]) -> dict[str, object]:
        unknown = sorted(set(columns) - SAMPLE_TARGETS)
        if unknown:
            raise ValueError(f"unknown column {', '.join(unknown)}; known are {', '.join(sorted(SAMPLE_TARGETS))}")
        return columns

    @property
    def gap(self) -> str:
        """Which of our columns that no sample can do without the layout leaves out; empty where there is none."""
        missing = [
            target
            for target in NEEDED_SAMPLE_TARGETS
            if target not in self.columns and (target == "sample" or target not in self.constants)
        ]
        return f"which column holds {', '.join(missing)}" if missing else ""
