"""What every layout says, whatever its file holds: its name, how the file is split, and how it is recognised."""

from collections.abc import Iterable
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

Delimiter = Literal[",", ";", "\t", "|"]
DELIMITERS: dict[Delimiter, str] = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}


class LayoutTable(BaseModel):
    """A part of a layout file; a key that is not known is a fault and never passed over."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class FileLayout(LayoutTable):
    """How the files of one sender are recognised, whatever they hold.

    ``kind`` says what the file holds and by which model the rest of the layout is read
    (:data:`pipeline.ingest.layout_files.KINDS`). ``signature`` are the header names by which the file is recognised.
    """

    kind: str = "results"
    name: str
    about: str = ""
    delimiter: Delimiter = ","
    signature: tuple[str, ...] = Field(min_length=2)

    @property
    def gap(self) -> str:
        """What the layout fails to say, to follow "does not say"; empty where nothing is missing."""
        return ""

    def fits(self, header: Iterable[str]) -> bool:
        """Whether every name of the signature stands in the header."""
        written = {folded(name) for name in header}
        return all(folded(name) in written for name in self.signature)


def folded(text: str) -> str:
    """A text for comparing names: outer blanks gone, inner ones single, case ignored."""
    return " ".join(text.split()).casefold()
