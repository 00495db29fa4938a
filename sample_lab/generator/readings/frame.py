"""The readings of a span as one table: a column a tag, and one for its status."""

from collections.abc import Sequence

import polars as pl

from sample_lab.generator.readings.clock import Span
from sample_lab.generator.readings.levels import Levels
from sample_lab.generator.readings.tags import STATUS_SUFFIX, Tag
from sample_lab.generator.readings.troubles import CALIBRATION, RUNNING, calibrated, troubled


def readings(seed: int, span: Span, chosen: Sequence[Tag]) -> pl.DataFrame:
    """What the historian keeps of some tags.

    Parameters
    ----------
    seed
        Which world; the laboratory's files of the same seed tell of the same water.
    span
        From when to when, and every how many minutes.
    chosen
        Which tags.

    Returns
    -------
    polars.DataFrame
        ``minute`` (whole minutes of UTC since 1970); a column of numbers for each tag, null in a gap; a column of words
        (``RUN`` or ``CAL``) for each tag that has a status.
    """
    minutes = span.minutes
    levels = Levels(seed, span, minutes)
    status = [CALIBRATION if stands else RUNNING for stands in calibrated(minutes)]
    columns = [minutes]
    columns += [troubled(minutes, levels.of(tag.follows), tag).round(tag.decimals) for tag in chosen]
    columns += [pl.Series(tag.tag + STATUS_SUFFIX, status) for tag in chosen if tag.has_status]
    return pl.DataFrame(columns)
