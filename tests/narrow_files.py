"""Small files in our own narrow layout, for tests: one good row, and rows that differ from it by what the test says."""

import csv
import io

GOOD_ROW = {
    "laboratory": "Tarnwick",
    "laboratory_sample": "L-1",
    "sample": "S-1",
    "sample_point": "FW",
    "collected": "2026-05-04 08:15",
    "received": "2026-05-04 12:00",
    "analyzed": "2026-05-05 09:00",
    "analyte": "Nitrate as N",
    "fraction": "",
    "value": "2.1",
    "unit": "mg/L",
    "basis": "",
    "qualifier": "",
    "detection_limit": "0.02",
    "reporting_limit": "0.1",
    "method": "EPA 300.0",
    "status": "final",
    "revision": "",
    "reported": "2026-05-08",
}

PLANT_TOML = 'name = "Test plant"\ntime_zone = "America/Los_Angeles"\n'
SAMPLE_POINTS = (
    "sample_point,name,place,disinfected,barrier_before,barrier_after,note\n"
    "FW,Clearwell outlet,finished water entry point,yes,,,\n"
    "RO,Train A permeate,reverse osmosis permeate,no,,,\n"
)


def narrow_file(*rows: dict[str, str], header: list[str] | None = None) -> bytes:
    """A file of the good row changed as each of ``rows`` says; without rows, the good row itself."""
    names = header or list(GOOD_ROW)
    buffer = io.StringIO(newline="")
    writer = csv.DictWriter(buffer, names, extrasaction="ignore")
    writer.writeheader()
    for row in rows or ({},):
        writer.writerow({**GOOD_ROW, **row})
    return buffer.getvalue().encode()
