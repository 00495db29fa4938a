"""Whether it is known what was measured, where, and in which unit and basis."""

from checks.expectations.cell_expectation import CellExpectation


class ExpectAnalyteToBeKnown(CellExpectation):
    """The written analyte stands for one of the plant's."""


class ExpectCasNumberToAgreeWithName(CellExpectation):
    """A sound CAS number is the one of the named analyte."""


class ExpectCasNumberToBeSound(CellExpectation):
    """A CAS number has the right shape and check digit."""


class ExpectSamplePointToBeKnown(CellExpectation):
    """A field sample comes from a sample point of the plant."""


class ExpectBasisToBeGiven(CellExpectation):
    """The basis is said, once, where the analyte needs one: nitrate as N is 4.43 times nitrate as NO3."""


class ExpectUnitToBeKnown(CellExpectation):
    """A number has a unit, and one with a single meaning."""


class ExpectUnitToFitAnalyte(CellExpectation):
    """The unit can be brought to the analyte's own, or is accepted beside it."""


class ExpectKindOfValueToFitAnalyte(CellExpectation):
    """Words such as present, absent or too numerous to count stand only where the analyte allows them."""
