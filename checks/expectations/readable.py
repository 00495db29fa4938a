"""Whether a cell can be read at all."""

from checks.expectations.cell_expectation import CellExpectation


class ExpectRowToFitHeader(CellExpectation):
    """A row has as many cells as the header, so that each stands under its own name."""


class ExpectWordsToBeKnown(CellExpectation):
    """The words for sample type, purpose and status are known."""


class ExpectValueToBeReadable(CellExpectation):
    """A value is a number, a censored number, or a word that means something."""


class ExpectValueToSurviveStorage(CellExpectation):
    """The stored decimal is the number that was written, digit for digit."""


class ExpectLimitsToBeReadable(CellExpectation):
    """Detection and reporting limit are numbers, in a unit that can be brought to the unit of the value."""


class ExpectCollectionTimeToBeGiven(CellExpectation):
    """A field sample says when it was taken."""


class ExpectCollectionTimeToBeReadable(CellExpectation):
    """A written collection time is a date or a time."""


class ExpectLaterTimesToBeReadable(CellExpectation):
    """Written times of receipt, filtration, extraction and analysis are dates or times."""


class ExpectTimesToBeUnambiguous(CellExpectation):
    """No time had to be decided on: a local time inside a clock change happened twice, or never."""


class ExpectReceiptTemperatureToBeReadable(CellExpectation):
    """A written receipt temperature is a number."""
