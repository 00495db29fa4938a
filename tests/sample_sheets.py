"""Small custody sheets in our own layout, for tests: one good line, and lines changed by what the test says."""

import csv
import io

GOOD_LINE = {
    "sample": "S-1",
    "laboratory_sample": "",
    "laboratory": "Tarnwick",
    "bottle": "",
    "sample_point": "FW",
    "collected": "2026-05-04 08:15",
    "sampler": "field crew",
    "relinquished": "2026-05-04 10:00",
    "received": "",
    "purpose": "compliance",
    "confirmation_of": "",
    "repeat_of": "",
    "split_of": "",
    "requested": "Nitrate",
    "revision": "",
    "issued": "",
    "comment": "",
}


def sample_sheet(*lines: dict[str, str]) -> bytes:
    """A sheet of the good line changed as each of ``lines`` says; without any, the good line itself."""
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, list(GOOD_LINE))
    writer.writeheader()
    for line in lines or ({},):
        writer.writerow({**GOOD_LINE, **line})
    return text.getvalue().encode()
