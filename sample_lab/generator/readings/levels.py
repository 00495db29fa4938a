"""What an analyzer without fault would show: the day's waters, the rhythm of the day, ageing, and spells of trouble."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise

import polars as pl

from sample_lab.generator.days import usual_waters
from sample_lab.generator.points import RACKS, Point
from sample_lab.generator.readings.chance import drift, key_of, normal
from sample_lab.generator.readings.clock import MINUTES_OF_A_DAY, Span, minute_of, swing
from sample_lab.generator.seasons import EFFLUENT_TEMPERATURE, ORGANICS, normal_on
from sample_lab.generator.spells import LEAK_OF_RACK_2, SOLVENT, SOLVENT_LEFT, Shape
from sample_lab.generator.water import NEW_MEMBRANES_IN_B, Water

Level = Callable[["Levels"], pl.Series]

PERMEATE_OF_A_TRAIN = 11_400.0
CONCENTRATE_SHARE = 0.15 / 0.85
_DAYS_BETWEEN_CLEANINGS = {"1": 42, "2": 45, "3": 39}
_YEAR = 365.25
_FIRST_TUESDAY = date(2023, 10, 3)
# Noon by the plant's standard time, in minutes of UTC.
_NOON_OF_THE_FIRST_TUESDAY = (_FIRST_TUESDAY - date(1970, 1, 1)).days * MINUTES_OF_A_DAY + 20 * 60
# A bank of lamps failed twice: share of the ultraviolet dose that was lost.
LAMP_BANK_FAILED: Shape = (
    (datetime.fromisoformat("2026-10-12 21:10"), 0.0),
    (datetime.fromisoformat("2026-10-12 21:20"), 0.42),
    (datetime.fromisoformat("2026-10-16 10:00"), 0.36),
    (datetime.fromisoformat("2026-10-16 10:15"), 0.0),
)
_LAMP_BANK_FAILED_BEFORE: Shape = (
    (datetime.fromisoformat("2025-08-12 03:00"), 0.0),
    (datetime.fromisoformat("2025-08-12 03:10"), 0.30),
    (datetime.fromisoformat("2025-08-13 12:00"), 0.0),
)
# The ozone generator tripped: share of the dose that was lost.
OZONE_TRIPPED: Shape = (
    (datetime.fromisoformat("2025-12-09 02:10"), 0.0),
    (datetime.fromisoformat("2025-12-09 02:11"), 1.0),
    (datetime.fromisoformat("2025-12-09 05:35"), 1.0),
    (datetime.fromisoformat("2025-12-09 06:20"), 0.0),
)
# Train A stood still for a valve, train B for its new membranes.
STANDSTILLS = {
    "A": (("2025-04-14 07:00", "2025-04-14 15:30"),),
    "B": (("2025-11-10 06:00", "2025-11-15 14:00"),),
}


@dataclass(frozen=True)
class Levels:
    """The true levels at the minutes of one span, in one seed's world."""

    seed: int
    span: Span
    minutes: pl.Series

    def of(self, follows: str) -> pl.Series:
        """One level, with the analyzer's own unrest, at every minute."""
        level, unrest = LEVELS[follows]
        key = key_of(self.seed, "readings", follows)
        wander = drift(self.minutes, 360, key) * unrest + normal(self.minutes, key + 1) * (unrest / 3)
        return level(self) * (wander + 1.0)

    def daily(self, of_day: Callable[[Mapping[Point, Water]], float]) -> pl.Series:
        """A number of the waters at noon of the days on which the sampler goes round, joined by straight lines."""
        days = _round_days(self.span.first_day, self.span.last_day)
        return self._joined([of_day(usual_waters(self.seed, day)) for day in days])

    def normals(self, of_day: Callable[[date], float]) -> pl.Series:
        """A number that follows from the day alone."""
        return self._joined([of_day(day) for day in _round_days(self.span.first_day, self.span.last_day)])

    def _joined(self, by_day: list[float]) -> pl.Series:
        # Counted from one Tuesday for every span, so that a reading is the same whatever else is asked for. Three days
        # from a Tuesday to a Friday, four on to the next Tuesday.
        since = (self.minutes - _NOON_OF_THE_FIRST_TUESDAY).cast(pl.Float64) / MINUTES_OF_A_DAY
        week = (since / 7).floor()
        of_week = since - week * 7
        late = (of_week >= 3).cast(pl.Float64)
        share = (of_week - late * 3) / (late + 3)
        begins = _round_days(self.span.first_day, self.span.last_day)[0]
        knot = (week * 2 + late).cast(pl.Int64) - (begins - _FIRST_TUESDAY).days // 7 * 2
        values = pl.Series(by_day, dtype=pl.Float64)
        low, high = values.gather(knot), values.gather(knot + 1)
        return low + (high - low) * share

    def shaped(self, shape: Shape) -> pl.Series:
        """The height of a spell at every minute."""
        height = pl.lit(0.0)
        for (start, low), (end, high) in pairwise(shape):
            first, last = minute_of(start), minute_of(end)
            share = (pl.col("minute") - first).cast(pl.Float64) / (last - first)
            within = (pl.col("minute") >= first) & (pl.col("minute") < last)
            height = pl.when(within).then(low + (high - low) * share).otherwise(height)
        return pl.DataFrame({"minute": self.minutes}).select(height.alias("height")).to_series()

    def running(self, train: str) -> pl.Series:
        """1 while a reverse osmosis train runs, 0 while it stands still."""
        stands = pl.lit(value=False)
        for start, end in STANDSTILLS[train]:
            first, last = (minute_of(datetime.fromisoformat(text)) for text in (start, end))
            stands = stands | ((pl.col("minute") >= first) & (pl.col("minute") < last))
        frame = pl.DataFrame({"minute": self.minutes})
        return frame.select(pl.when(stands).then(0.0).otherwise(1.0).alias("runs")).to_series()


def _of(analyte: str, point: str, day_and_night: float = 0.0, peak: float = 0.6) -> Level:
    def level(at: Levels) -> pl.Series:
        rhythm = swing(at.minutes, peak) * day_and_night + 1.0
        return at.daily(lambda waters: waters[Point(point)][analyte]) * rhythm

    return level


def _organic_carbon(point: str, factor: float = 1.0) -> Level:
    def level(at: Levels) -> pl.Series:
        usual = at.daily(lambda waters: waters[Point(point)]["Total organic carbon"])
        return (usual * (swing(at.minutes, 0.7) * 0.04 + 1.0) + at.shaped(SOLVENT) * SOLVENT_LEFT[point]) * factor

    return level


def _transmittance(of_day: Callable[[Mapping[Point, Water]], float]) -> Level:
    # Beer and Lambert, a path of one centimeter: a thousandth of absorbance takes away 0.23 percent.
    return lambda at: at.daily(lambda waters: 100.0 * _ten_to_minus(of_day(waters))) + swing(at.minutes, 0.3) * 0.2


def _turbidity_of_rack(number: int) -> Level:
    def level(at: Levels) -> pl.Series:
        usual = at.daily(lambda waters: waters[RACKS[number - 1]]["Turbidity"])
        if number != 2:
            return usual
        feed = at.daily(lambda waters: waters[Point.BIOLOGICAL_CARBON_EFFLUENT]["Turbidity"])
        return usual + at.shaped(LEAK_OF_RACK_2) * feed

    return level


def _transmembrane_pressure(rack: str) -> Level:
    """Rises between two cleanings, a little more with every one, and more in cold water, which is thicker."""

    def on(day: date) -> float:
        since = (day - date(2023, 9, 1)).days
        after_cleaning = since % _DAYS_BETWEEN_CLEANINGS[rack] / _DAYS_BETWEEN_CLEANINGS[rack]
        base = 38.0 + 4.0 * since / _YEAR + 22.0 * after_cleaning
        return base * _thickness(normal_on(EFFLUENT_TEMPERATURE, day))

    return lambda at: at.normals(on) * (swing(at.minutes, 0.6) * 0.06 + 1.0)


def _feed_pressure(train: str) -> Level:
    """What it takes to press the same permeate through membranes that let less through every year."""

    def on(day: date) -> float:
        fresh = NEW_MEMBRANES_IN_B if train == "B" and day >= NEW_MEMBRANES_IN_B else date(2022, 5, 1)
        years = (day - fresh).days / _YEAR
        since_cleaning = (day - date(2023, 6, 1)).days % 182 / 182
        driving = 690.0 * (1.0 + 0.065 * years) * (1.0 + 0.08 * since_cleaning)
        return 210.0 + driving * _thickness(normal_on(EFFLUENT_TEMPERATURE, day))

    return lambda at: at.normals(on) * at.running(train)


def _permeate_flow(train: str) -> Level:
    return lambda at: (swing(at.minutes, 0.6) * 0.05 + 1.0) * PERMEATE_OF_A_TRAIN * at.running(train)


def _both_flows(share: float) -> Level:
    return lambda at: (
        (swing(at.minutes, 0.6) * 0.05 + 1.0) * (PERMEATE_OF_A_TRAIN * share) * (at.running("A") + at.running("B"))
    )


def _dose_kept(at: Levels) -> pl.Series:
    return (at.shaped(LAMP_BANK_FAILED) + at.shaped(_LAMP_BANK_FAILED_BEFORE)) * -1.0 + 1.0


def _ozone_kept(at: Levels) -> pl.Series:
    return at.shaped(OZONE_TRIPPED) * -1.0 + 1.0


def _thickness(celsius: float) -> float:
    """Viscosity of water beside that at 25 deg C: about 2.3 percent a degree (common practice, no source)."""
    return 1.0 + 0.023 * (25.0 - celsius)


def _ten_to_minus(absorbance: float) -> float:
    x = absorbance * 2.302585092994046 / 8
    small = (1 - x / 2 + x * x / 12) / (1 + x / 2 + x * x / 12)
    for _ in range(3):
        small *= small
    return small


def _permeates(waters: Mapping[Point, Water]) -> float:
    trains = (Point.PERMEATE_A, Point.PERMEATE_B)
    return sum(waters[train]["UV absorbance at 254 nm"] for train in trains) / 2


def _round_days(first_day: date, last_day: date) -> list[date]:
    """Every Tuesday and Friday from before a span to behind it."""
    tuesday = first_day - timedelta(days=(first_day.weekday() - 1) % 7 + 7)
    weeks = (last_day - tuesday).days // 7 + 3
    return [tuesday + timedelta(days=7 * week + days) for week in range(weeks) for days in (0, 3)]


# Each level, and the unrest of its analyzer as a share of the level.
LEVELS: Mapping[str, tuple[Level, float]] = {
    "ozone residual": (lambda at: (swing(at.minutes, 0.2) * 0.12 + 0.36) * _ozone_kept(at), 0.06),
    "ozone dose": (lambda at: at.normals(lambda day: 6.3 * normal_on(ORGANICS, day)) * _ozone_kept(at), 0.02),
    "transmittance of ozone effluent": (
        _transmittance(lambda waters: waters[Point.OZONE_EFFLUENT]["UV absorbance at 254 nm"]), 0.003,
    ),
    "organic carbon of BAC": (_organic_carbon("BAC"), 0.015),
    "turbidity of UF1": (_turbidity_of_rack(1), 0.05),
    "turbidity of UF2": (_turbidity_of_rack(2), 0.05),
    "turbidity of UF3": (_turbidity_of_rack(3), 0.05),
    "transmembrane pressure 1": (_transmembrane_pressure("1"), 0.01),
    "transmembrane pressure 2": (_transmembrane_pressure("2"), 0.01),
    "transmembrane pressure 3": (_transmembrane_pressure("3"), 0.01),
    "conductance of UFF": (_of("Specific conductance", "UFF", 0.02), 0.004),
    "temperature": (_of("Temperature, water", "UFF", 0.012), 0.002),
    "conductance of ROA": (_of("Specific conductance", "ROA", 0.03), 0.006),
    "conductance of ROB": (_of("Specific conductance", "ROB", 0.03), 0.006),
    "organic carbon of ROA": (_organic_carbon("ROA", 1000.0), 0.02),
    "train A runs": (lambda at: at.running("A"), 0.0),
    "train B runs": (lambda at: at.running("B"), 0.0),
    "feed pressure A": (_feed_pressure("A"), 0.004),
    "feed pressure B": (_feed_pressure("B"), 0.004),
    "permeate flow A": (_permeate_flow("A"), 0.006),
    "permeate flow B": (_permeate_flow("B"), 0.006),
    "concentrate flow": (_both_flows(CONCENTRATE_SHARE), 0.006),
    "transmittance of permeate": (_transmittance(_permeates), 0.0006),
    "ultraviolet dose": (lambda at: _dose_kept(at) * 940.0, 0.012),
    "lamp energy": (lambda at: _dose_kept(at) * 0.23, 0.010),
    "chlorine": (_of("Free chlorine", "FIN", 0.03), 0.015),
    "pH of FIN": (_of("pH", "FIN", 0.004), 0.002),
    "turbidity of FIN": (_of("Turbidity", "FIN"), 0.05),
    "finished flow": (_both_flows(0.995), 0.006),
}  # fmt: skip
