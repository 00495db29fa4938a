"""The waters of each day, worked out once for everybody who looks at them: laboratories, crew and analyzers."""

from collections.abc import Mapping
from datetime import date
from functools import lru_cache

from sample_lab.generator.noise import Noise
from sample_lab.generator.points import Point
from sample_lab.generator.stories import as_it_happened
from sample_lab.generator.water import Plant, Water

_ROUNDS_OF_THREE_YEARS = 400


@lru_cache(maxsize=_ROUNDS_OF_THREE_YEARS)
def usual_waters(seed: int, day: date) -> Mapping[Point, Water]:
    """What would have been in the water at every point, had nothing happened; not to be changed."""
    return Plant(Noise(seed)).on(day)


@lru_cache(maxsize=_ROUNDS_OF_THREE_YEARS)
def waters_on(seed: int, day: date) -> Mapping[Point, Water]:
    """What really was in the water at every point; not to be changed."""
    return as_it_happened(usual_waters(seed, day), day)
