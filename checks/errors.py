"""The one error of the checks: a check that could not be made is never taken for a failed one."""

from pipeline.errors import BarrierbookError


class CheckError(BarrierbookError):
    """A check could not be made, or its account does not close. This is a fault of the program, not of the data."""
