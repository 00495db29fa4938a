"""Flags of readings: the words of the open QARTOD manuals and the numbers under which they are stored."""

from typing import Final

from pipeline.vocabulary import ReadingFlag

# Manual for Real-Time Oceanographic Data Quality Control Flags, version 1.2 (U.S. IOOS, 2020), table 1 [memory].
QARTOD: Final[dict[ReadingFlag, int]] = {
    ReadingFlag.GOOD: 1,
    ReadingFlag.NOT_EVALUATED: 2,
    ReadingFlag.SUSPECT: 3,
    ReadingFlag.FAIL: 4,
    ReadingFlag.MISSING: 9,
}
WORDS: Final[dict[int, ReadingFlag]] = {number: word for word, number in QARTOD.items()}
LAST_USABLE: Final = QARTOD[ReadingFlag.SUSPECT]
"""A reading with a higher number takes no part in extremes, totals and means."""

GAP_INTERVALS: Final = 3
"""More than so many expected intervals without a reading are a gap [common practice, no source]."""
