"""Writes the sample plant's files, as large as asked: ``python -m sample_lab.generate --to FOLDER --scale 3``."""

import argparse
import sys
from pathlib import Path

from sample_lab.generator.files import DEFAULT_SEED
from sample_lab.readings_files import write_minutes, write_readings
from sample_lab.written_files import write_sample_files

_MOST_MONTHS = 36


def main(arguments: list[str] | None = None) -> int:
    """Write the files and say on stderr how many readings each of the historian's holds."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--to", type=Path, required=True, help="folder to write into; files there are replaced")
    parser.add_argument("--seed", type=int, default=DEFAULT_SEED, help="which world")
    parser.add_argument(
        "--scale", type=int, default=1, choices=range(_MOST_MONTHS + 2), metavar="0..37",
        help="0: laboratories, field crew and custody sheets alone; 1: readings of every quarter of an hour too; "
        "above: also one file less than this of a month of readings each minute, 1.3 million a file",
    )  # fmt: skip
    asked = parser.parse_args(arguments)
    files = write_sample_files(asked.to, asked.seed)
    print(f"{len(files)} files of laboratories, crew and samplers", file=sys.stderr)
    written = write_readings(asked.to, asked.seed) if asked.scale else []
    written += write_minutes(asked.to, max(asked.scale - 1, 0), asked.seed)
    for file in written:
        print(f"{file.path.name}: {file.readings:,} readings", file=sys.stderr)
    return 0


if __name__ == "__main__":
    sys.exit(main())
