"""Whether each step was taken while the sample was still good, and whether it arrived so."""

from typing import ClassVar, Literal

from checks.expectations.cell_expectation import CellExpectation


class ExpectStepWithinHoldingTime(CellExpectation):
    """A step follows the one that starts its clock within the holding time of the method."""

    parameter_names: ClassVar[tuple[str, ...]] = ("start_step", "stop_step")
    start_step: Literal["collection", "extraction"]
    stop_step: Literal["filtration", "extraction", "elution", "analysis"]


class ExpectFieldReadingOfWhatDoesNotKeep(CellExpectation):
    """What keeps for no more than 15 minutes is measured in the field."""


class ExpectHoldingTimeToBeDecidedByTimes(CellExpectation):
    """Times are known well enough to say whether a holding time was kept."""


class ExpectHoldingTimeToBeChecked(CellExpectation):
    """Every time that a holding time needs is given, and the method says which holding time applies."""


class ExpectSampleToArriveCold(CellExpectation):
    """A sample is no warmer at receipt than its method allows."""


class ExpectSampleNotToArriveFrozen(CellExpectation):
    """A sample is not frozen at receipt where its method forbids it."""


class ExpectNitrateFromUnacidifiedSample(CellExpectation):
    """Nitrate and nitrite are told apart only in a sample without acid."""
