"""Reads ``plant.toml``: the plant's name, its time zone, and the choices it makes where practices differ."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from typing import Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from pipeline.plant.faults import Faults, one_of
from pipeline.plant.plant import HoldingTimePolicy

FILE: Final = "plant.toml"
_NEAR_LIMIT_SHARE: Final = "0.8"
KEYS: Final = (
    "name",
    "time_zone",
    "near_limit_share",
    "jurisdictions",
    "holding_time_days",
    "holding_time_months",
    "display_units",
    "demonstration_date",
)
_DAYS: Final = ("exact", "calendar")
_MONTHS: Final = ("calendar", "180 days")


@dataclass(frozen=True, slots=True)
class Settings:
    """What ``plant.toml`` says, every value checked."""

    name: str
    zone: ZoneInfo
    near_limit_share: Fraction
    jurisdictions: tuple[str, ...]
    holding_time_policy: HoldingTimePolicy
    display_units: Mapping[str, str] = field(default_factory=dict)
    demonstration_date: date | None = None
    text: str = field(default="", repr=False)

    def line_of(self, key: str) -> int | None:
        """Line on which a key of the file stands, from 1; ``None`` when it does not."""
        return _line_of(self.text, key)


def _line_of(text: str, key: str) -> int | None:
    written = re.compile(rf"\s*\[?\s*[\"']?{re.escape(key)}[\"']?\s*[\]=]")
    return next((number for number, line in enumerate(text.splitlines(), start=1) if written.match(line)), None)


class _Reader:
    """One key at a time, each fault with the line on which its key stands."""

    def __init__(self, text: str, values: Mapping[str, object], faults: Faults) -> None:
        self._text = text
        self._values = values
        self._faults = faults

    def fault(self, key: str, problem: str, remedy: str) -> None:
        self._faults.add(problem, remedy, file=FILE, line=_line_of(self._text, key), column=key)

    def text(self, key: str, default: str, remedy: str) -> str:
        value = self._values.get(key, default)
        if isinstance(value, str) and value.strip():
            return value.strip()
        self.fault(key, f"{key} is missing." if key not in self._values else f"{key} is not a text.", remedy)
        return ""

    def choice(self, key: str, possible: tuple[str, ...]) -> str:
        value = self._values.get(key, possible[0])
        if value in possible:
            return str(value)
        self.fault(key, f"{key} cannot be {value!r}.", one_of(possible, str(value)))
        return possible[0]

    def zone(self) -> ZoneInfo:
        name = self.text(
            "time_zone", "", 'Write the plant\'s time zone, for example time_zone = "America/Los_Angeles".'
        )
        if name:
            try:
                return ZoneInfo(name)
            except (ZoneInfoNotFoundError, ValueError, OSError):
                remedy = f"{one_of(sorted(available_timezones()), name)} Use a name of the IANA time zone database."
                self.fault("time_zone", f"the time zone {name!r} does not exist.", remedy)
        return ZoneInfo("UTC")

    def share(self) -> Fraction:
        value = self._values.get("near_limit_share", _NEAR_LIMIT_SHARE)
        try:
            share = Decimal(value) if isinstance(value, str | int | Decimal) else None
        except InvalidOperation:
            share = None
        if share is not None and share.is_finite() and 0 < share <= 1:
            return Fraction(share)
        remedy = 'Write a number above 0 and up to 1, for example near_limit_share = "0.8".'
        self.fault("near_limit_share", f"near_limit_share cannot be {value!r}.", remedy)
        return Fraction(_NEAR_LIMIT_SHARE)

    def jurisdictions(self) -> tuple[str, ...]:
        value = self._values.get("jurisdictions", ["United States"])
        if isinstance(value, list) and all(isinstance(name, str) and name.strip() for name in value):
            return tuple(name.strip() for name in value)
        remedy = 'Write a list of texts, for example jurisdictions = ["United States"].'
        self.fault("jurisdictions", "jurisdictions is not a list of names.", remedy)
        return ()

    def demonstration_date(self) -> date | None:
        value = self._values.get("demonstration_date")
        if value is None or (isinstance(value, date) and not isinstance(value, datetime)):
            return value
        remedy = "Write a date without quotation marks, for example demonstration_date = 2026-10-31, or leave it out."
        self.fault("demonstration_date", f"demonstration_date cannot be {value!r}.", remedy)
        return None

    def display_units(self) -> dict[str, str]:
        value = self._values.get("display_units", {})
        if isinstance(value, dict) and all(isinstance(unit, str) for unit in value.values()):
            return {str(analyte): unit.strip() for analyte, unit in value.items()}
        remedy = 'Write one line an analyte under [display_units], for example Lead = "ug/L".'
        self.fault("display_units", "display_units does not give one unit an analyte.", remedy)
        return {}


def read_settings(content: bytes, faults: Faults) -> Settings:
    """Read ``plant.toml``; every key that cannot be used is a fault, and its default stands in meanwhile."""
    text, values = _parse(content, faults)
    if values is None:
        return Settings("", ZoneInfo("UTC"), Fraction(_NEAR_LIMIT_SHARE), (), HoldingTimePolicy())
    reader = _Reader(text, values, faults)
    for key in values:
        if key not in KEYS:
            reader.fault(key, f"the key {key!r} is not known.", one_of(KEYS, key))
    return Settings(
        name=reader.text("name", "", 'Write the plant\'s name, for example name = "Our Plant".'),
        zone=reader.zone(),
        near_limit_share=reader.share(),
        jurisdictions=reader.jurisdictions(),
        holding_time_policy=HoldingTimePolicy(
            days=reader.choice("holding_time_days", _DAYS), months=reader.choice("holding_time_months", _MONTHS)
        ),
        display_units=reader.display_units(),
        demonstration_date=reader.demonstration_date(),
        text=text,
    )


def _parse(content: bytes, faults: Faults) -> tuple[str, dict[str, object] | None]:
    try:
        text = content.decode("utf-8-sig")
        return text, tomllib.loads(text, parse_float=Decimal)
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        faults.add("the file is not UTF-8 text.", "Save it again with the encoding UTF-8.", file=FILE, line=line)
    except tomllib.TOMLDecodeError as error:
        at = re.search(r"at line (\d+)", str(error))
        remedy = "Write key = value, texts in quotation marks; see the comments of the starter file."
        faults.add(f"the file is not TOML: {error}.", remedy, file=FILE, line=int(at[1]) if at else None)
    return "", None
