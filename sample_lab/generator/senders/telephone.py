"""Results told by telephone, as the duty operator wrote them down: a line each, preliminary until the report comes."""

import csv
import io
from dataclasses import dataclass

from sample_lab.generator.rows import Mark
from sample_lab.generator.senders.sent import Planted, SentFile

_COLUMNS = (
    "laboratory", "sample", "sample_point", "collected", "analyte", "fraction", "value", "unit", "basis",
    "reporting_limit", "method", "status", "revision", "reported", "comment",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Call:
    """One call: what was told, by which role, and when."""

    told_at: str
    sample: str
    sample_point: str
    collected: str
    analyte: str
    value: str
    unit: str
    reporting_limit: str
    method: str
    why: str


CALLS = (
    Call(
        "2026-10-20 11:20", "Q261015-FIN", "Clearwell Outlet", "2026-10-15 09:35", "N-Nitrosodimethylamine", "11",
        "ng/L", "2.0", "EPA 521", "The laboratory called before its report: the final number is in the month's file.",
    ),
    Call(
        "2026-10-31 08:40", "Q261030-UFF-S", "UF Filtrate (comb.)", "2026-10-30 08:52", "N-Nitrosodimethylamine", "24",
        "ng/L", "2.0", "EPA 521", "The laboratory called; no report by the end of the record.",
    ),
)  # fmt: skip


def files(_seed: int) -> list[SentFile]:
    """The note of each call; what was told is the same in every world."""
    return [_note(call) for call in CALLS]


def _note(call: Call) -> SentFile:
    text = io.StringIO()
    writer = csv.DictWriter(text, _COLUMNS, restval="", lineterminator="\n")
    writer.writeheader()
    told = {name: getattr(call, name) for name in _COLUMNS if name in Call.__slots__}
    writer.writerow(
        {
            **told, "laboratory": "Tarnwick Water Laboratory", "status": "preliminary", "reported": call.told_at[:10],
            "comment": f"told by telephone by the shift chemist at {call.told_at}",
        }
    )  # fmt: skip
    mark = Mark("told by telephone", "status", "note", "result_preliminary", call.why)
    planted = Planted(2, "value", "N-Nitrosodimethylamine (NDMA)", mark, result_id=call.sample)
    at = "".join(letter if letter.isalnum() else "-" for letter in call.told_at)
    return SentFile(f"telephone note {at}.csv", text.getvalue().encode(), call.told_at, (planted,))
