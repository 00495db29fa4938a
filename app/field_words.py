"""Readings of a field sheet in a few words, for the row of a laboratory result of the same sample."""

from collections.abc import Sequence
from typing import Final

from app import figures
from pipeline.store.sample_log_fields import FieldReading

_DEGREES: Final = {"deg C": "°C", "degC": "°C"}
_WATER_TEMPERATURE: Final = "Temperature, water"


def in_words(readings: Sequence[FieldReading]) -> str:
    """Readings as a person would note them: ``pH 7.9, Free chlorine 1.2 mg/L, 18.2 °C``; empty without any."""
    return ", ".join(_one(reading) for reading in readings)


def _one(reading: FieldReading) -> str:
    unit = _DEGREES.get(reading.unit, reading.unit)
    printed = "" if reading.analyte == "pH" else figures.unit_text(unit)
    value = f"{reading.value_text.strip()} {printed}".strip()
    # A temperature of the water says by its unit what it is.
    return value if reading.analyte == _WATER_TEMPERATURE and printed == "°C" else f"{reading.analyte} {value}"
