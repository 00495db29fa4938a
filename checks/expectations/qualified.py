"""What the laboratory itself says against a result."""

from checks.expectations.cell_expectation import CellExpectation


class ExpectResultNotToBeRejected(CellExpectation):
    """Neither status nor qualifier (R) rejects the result."""


class ExpectIdentificationToBeCertain(CellExpectation):
    """The substance is not only tentatively identified (NJ)."""


class ExpectResultNotToBeEstimated(CellExpectation):
    """No qualifier (J, J+, J-, UJ) calls the number an estimate."""


class ExpectResultToBeFinal(CellExpectation):
    """The sender does not call the result preliminary."""


class ExpectQualifierToHaveOneMeaning(CellExpectation):
    """No laboratory flag stands there that different laboratories use for different things."""
