"""A result told by telephone: written down as a file of one line, so that it is archived and loaded like any other.

It is preliminary, and its comment says who told it and when. The final report, when it comes, stands for the sample.
"""

import csv
import io
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from pipeline.errors import BarrierbookError
from pipeline.ingest.time_text import read_time
from pipeline.vocabulary import ReportStatus

_HEADER = (
    "laboratory", "sample", "sample_point", "collected", "analyte", "fraction", "value", "unit", "basis",
    "reporting_limit", "method", "status", "revision", "reported", "comment",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class TelephoneNote:
    """What was told, as a person wrote it down.

    Parameters
    ----------
    told_by
        Who called, by name or role.
    told_at
        When, local to the plant unless an offset is written.
    sample
        Our own sample id.
    value
        As it was told, such as ``11.2`` or ``<0.5``.
    revision
        A number, for a second call of the same day that corrects the first.
    """

    laboratory: str
    told_by: str
    told_at: str
    sample: str
    sample_point: str
    collected: str
    analyte: str
    value: str
    unit: str
    basis: str = ""
    fraction: str = ""
    reporting_limit: str = ""
    method: str = ""
    revision: str = ""


def note_file(note: TelephoneNote, zone: ZoneInfo) -> tuple[str, bytes]:
    """Name and bytes of the file that a note becomes, in our own narrow layout; the result stands on its line 2.

    Raises
    ------
    BarrierbookError
        When a part is missing that nobody could look up later, or the time of the call cannot be read.
    """
    missing = [name for name, text in _NEEDED.items() if not getattr(note, text).strip()]
    if missing:
        raise BarrierbookError(
            f"the note does not say: {', '.join(missing)}.", "Ask before the call ends, and write it down."
        )
    told = read_time(note.told_at, zone)
    if told.local_date is None:
        raise BarrierbookError(f"the time of the call: {told.problem}", "Write it like 2026-11-25 14:05.")
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, _HEADER, lineterminator="\n")
    writer.writeheader()
    writer.writerow(
        {
            **{name: getattr(note, name) for name in _HEADER if name in TelephoneNote.__slots__},
            "status": ReportStatus.PRELIMINARY.value,
            "reported": told.local_date.isoformat(),
            "comment": f"told by telephone by {note.told_by.strip()} at {note.told_at.strip()}",
        }
    )
    at = "".join(letter if letter.isalnum() else "-" for letter in note.told_at.strip())
    return f"telephone note {at}.csv", text.getvalue().encode()


_NEEDED = {
    "laboratory": "laboratory",
    "who told it": "told_by",
    "when": "told_at",
    "sample": "sample",
    "sample point": "sample_point",
    "collected": "collected",
    "analyte": "analyte",
    "value": "value",
}
