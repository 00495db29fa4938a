"""Whether the numbers and the order of the steps can be true."""

from typing import ClassVar

from checks.expectations.cell_expectation import CellExpectation


class ExpectValueToBePossible(CellExpectation):
    """A number lies within what is physically possible for its analyte."""


class ExpectLimitsToBePossible(CellExpectation):
    """Detection and reporting limit are not negative, and a non-detect is below something."""


class ExpectNonDetectToHaveLimit(CellExpectation):
    """A censored value says below or above what."""


class ExpectStepsToFollowCollection(CellExpectation):
    """No later step is dated more than ``tolerated_hours`` before collection."""

    parameter_names: ClassVar[tuple[str, ...]] = ("tolerated_hours",)
    tolerated_hours: int


class ExpectStepsToBeInOrder(CellExpectation):
    """No step is dated before the one it needs, by at most ``tolerated_hours``; beyond that the cell is held."""

    parameter_names: ClassVar[tuple[str, ...]] = ("tolerated_hours",)
    tolerated_hours: int


class ExpectStepsToLieInThePast(CellExpectation):
    """No time lies after the moment of loading."""


class ExpectConcentrationNotToBeNegative(CellExpectation):
    """A concentration is not below zero."""


class ExpectChemistryNumberNotToBeZero(CellExpectation):
    """A concentration is not exactly zero: a method can only say "less than"."""
