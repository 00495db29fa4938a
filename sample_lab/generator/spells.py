"""Spells of trouble that lasted for days and were seen by analyzers and laboratory alike.

Each is a shape over time that rises, stays and falls in straight lines, so that the laboratory's samples and the
analyzers' readings are made from the same numbers.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import pairwise

Shape = Sequence[tuple[datetime, float]]
_MINUTE = timedelta(minutes=1)


def _at(text: str) -> datetime:
    """A time of the plant's wall clock."""
    return datetime.fromisoformat(text)


# A seal of ultrafiltration rack 2 failed: the share of its feed that went around the membranes.
LEAK_OF_RACK_2: Shape = (
    (_at("2026-03-02 14:00"), 0.0),
    (_at("2026-03-02 20:00"), 0.10),
    (_at("2026-03-05 06:00"), 0.24),
    (_at("2026-03-10 16:00"), 0.34),
    (_at("2026-03-10 16:30"), 0.0),  # isolated; the seal was replaced
)

# A solvent came with the wastewater: organic carbon of the influent above its usual [mg/L].
SOLVENT: Shape = (
    (_at("2026-06-14 22:00"), 0.0),
    (_at("2026-06-15 12:00"), 2.2),
    (_at("2026-06-17 08:00"), 2.9),
    (_at("2026-06-20 18:00"), 0.4),
    (_at("2026-06-23 20:00"), 0.0),
)

# Share of the solvent that is left at each point: small and uncharged, it passes reverse osmosis.
SOLVENT_LEFT = {
    "INF": 1.0, "OZE": 0.92, "BAC": 0.42, "UF1": 0.41, "UF2": 0.41, "UF3": 0.41, "UFF": 0.41, "ROA": 0.19, "ROB": 0.18,
    "CON": 1.66, "AOP": 0.12, "FIN": 0.12,
}  # fmt: skip


def level(shape: Shape, moment: datetime) -> float:
    """The height of a spell at one time, on the straight line between its corners; 0 outside.

    Examples
    --------
    >>> level(SOLVENT, datetime(2026, 6, 15, 12, 0)), level(SOLVENT, datetime(2026, 7, 1))
    (2.2, 0.0)
    """
    for (start, low), (end, high) in pairwise(shape):
        if start <= moment < end:
            return low + (high - low) * (((moment - start) / _MINUTE) / ((end - start) / _MINUTE))
    return 0.0
