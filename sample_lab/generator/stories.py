"""What happened at the plant in three years that an ordinary schedule and an ordinary water would not show.

Each story is a change of the water at some points on some days, or a sample that was taken because of one.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time

from sample_lab.generator.points import Point
from sample_lab.generator.schedule import Visit, sample_name
from sample_lab.generator.spells import LEAK_OF_RACK_2, SOLVENT, SOLVENT_LEFT, level
from sample_lab.generator.water import Water

_NDMA = "N-Nitrosodimethylamine (NDMA)"
# The hour of the day at which the sampler passes the middle of the round.
_SAMPLED_AT = time(9, 0)
# What the ultrafiltration membranes hold back while they are whole.
_HELD_BY_MEMBRANES = (
    "Turbidity", "Total coliform", "E. coli", "Cryptosporidium", "Giardia", "Male-specific coliphage",
    "Somatic coliphage", "Clostridium perfringens", "Aerobic endospores", "Enterococci", "Heterotrophic plate count",
    "Total suspended solids",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Event:
    """A day on which one analyte stood at an unusual level at one point [the laboratory's unit]."""

    day: date
    point: Point
    analyte: str
    level: float


@dataclass(frozen=True, slots=True)
class FollowUp:
    """A sample that was taken because of an earlier one: its confirmation, or a special sample after a repair."""

    day: date
    at: time
    point: Point
    analytes: tuple[str, ...]
    purpose: str
    confirms: date | None
    comment: str


EVENTS = (
    # An ultraviolet lamp bank failed twice: the first time its confirmation brought the mean under the permit's level.
    Event(date(2025, 8, 12), Point.ADVANCED_OXIDATION_EFFLUENT, _NDMA, 10.4),
    Event(date(2025, 8, 12), Point.FINISHED_WATER, _NDMA, 11.4),
    Event(date(2025, 8, 14), Point.FINISHED_WATER, _NDMA, 6.8),
    Event(date(2026, 10, 13), Point.ADVANCED_OXIDATION_EFFLUENT, _NDMA, 13.1),
    Event(date(2026, 10, 13), Point.FINISHED_WATER, _NDMA, 14.0),
    Event(date(2026, 10, 15), Point.FINISHED_WATER, _NDMA, 11.6),
    # A delivery of lime with too much manganese.
    Event(date(2026, 10, 13), Point.FINISHED_WATER, "Manganese", 61.0),
)

FOLLOW_UPS = (
    FollowUp(
        date(2025, 8, 14), time(9, 40), Point.FINISHED_WATER, (_NDMA,), "confirmation", date(2025, 8, 12),
        "confirmation requested by plant",
    ),
    FollowUp(
        date(2026, 10, 15), time(9, 35), Point.FINISHED_WATER, (_NDMA,), "confirmation", date(2026, 10, 13),
        "confirmation requested by plant",
    ),
    FollowUp(
        date(2026, 10, 22), time(10, 5), Point.FINISHED_WATER, (_NDMA, "Manganese"), "special", None,
        "after lamp replacement and change of lime",
    ),
)  # fmt: skip


def as_it_happened(waters: Mapping[Point, Water], day: date) -> dict[Point, Water]:
    """The day's waters with what happened on that day."""
    changed = {point: dict(water) for point, water in waters.items()}
    _leak(changed, level(LEAK_OF_RACK_2, datetime.combine(day, _SAMPLED_AT)))
    solvent = level(SOLVENT, datetime.combine(day, _SAMPLED_AT))
    for point, water in changed.items():
        water["Total organic carbon"] += solvent * SOLVENT_LEFT[point]
    for event in EVENTS:
        if event.day == day:
            changed[event.point][event.analyte] = event.level
    return changed


def _leak(waters: dict[Point, Water], share: float) -> None:
    """Part of rack 2's feed goes around its membranes; a third of all filtrate comes from there."""
    feed = waters[Point.BIOLOGICAL_CARBON_EFFLUENT]
    for name in _HELD_BY_MEMBRANES:
        for point, part in ((Point.MEMBRANE_RACK_2, share), (Point.MEMBRANE_FILTRATE, share / 3)):
            waters[point][name] += part * (feed[name] - waters[point][name])


def follow_up_visits() -> Iterator[tuple[Visit, FollowUp]]:
    """The extra visits, with why they were made."""
    for follow_up in FOLLOW_UPS:
        sample = sample_name(follow_up.point, follow_up.day)
        collected = datetime.combine(follow_up.day, follow_up.at)
        yield Visit(sample, follow_up.point, collected, follow_up.analytes), follow_up
