"""Levels below the limit that start something: quarterly samples, a set in the distribution, the naming of nuclides."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from pipeline.plant.tables import Limit
from pipeline.screening.frequency import Frequency
from pipeline.screening.samples import SampleValue

QUARTERLY = "quarterly monitoring"
EASES = frozenset({"reduced monitoring"})
PROMPTS = {
    QUARTERLY: "quarterly samples start",
    "distribution set next day": "distribution set next day",
    "identify nuclides": "name the nuclides",
}
COMPARISONS = (">=", "<=", ">", "<")


@dataclass(frozen=True, slots=True)
class Trigger:
    """One trigger of a limit: ``name comparison number`` [limit's unit]."""

    name: str
    comparison: str
    number: Fraction

    def reached_by(self, value: Fraction) -> bool:
        """Whether a value reaches the trigger; compared exactly, triggers are not rounded."""
        if self.comparison == ">=":
            return value >= self.number
        if self.comparison == ">":
            return value > self.number
        return value <= self.number if self.comparison == "<=" else value < self.number

    def __str__(self) -> str:
        return f"{self.name} {self.comparison}"


def triggers_of(limit: Limit) -> list[Trigger]:
    """Triggers of a limit that are numbers; those with a row of their own (``see ...``) are judged there."""
    found = []
    for written in limit.trigger_values:
        for comparison in COMPARISONS:
            name, separator, number = written.partition(f" {comparison} ")
            if separator:
                found.append(Trigger(name.strip(), comparison, Fraction(number.strip())))
                break
    return found


def reached_trigger(
    limit: Limit, samples: Sequence[SampleValue], frequency: Frequency
) -> tuple[Trigger, SampleValue] | None:
    """First trigger that one of the samples certainly reaches, and that sample; ``None`` when none does.

    More frequent sampling is nothing to start where quarterly samples are already taken.
    """
    for trigger in triggers_of(limit):
        if trigger.name in EASES or (trigger.name == QUARTERLY and frequency.times_a_year >= 4):
            continue
        for sample in reversed(samples):
            if sample.value.low is not None and trigger.reached_by(sample.value.low):
                return trigger, sample
    return None
