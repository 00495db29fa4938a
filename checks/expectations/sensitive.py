"""Whether a method is sensitive enough for what its result has to prove."""

from checks.expectations.cell_expectation import CellExpectation


class ExpectNonDetectToProveLimit(CellExpectation):
    """A non-detect lies at or below the lowest limit in force at its sample point."""


class ExpectLimitToComeWithResult(CellExpectation):
    """The limit of a censored value comes from its file, not from the layout."""


class ExpectReportingLimitNotBelowDetectionLimit(CellExpectation):
    """The reporting limit is at or above the detection limit."""


class ExpectNumberBelowReportingLimitToBeEstimated(CellExpectation):
    """A number below its own reporting limit is called an estimate."""
