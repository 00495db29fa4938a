"""The words that the whole product agrees on, each written once.

Every word is the trade's own where the trade has one; ``docs/glossary.md`` explains them. The members are strings, so
that a table, a page and a comparison in code all carry the same text.
"""

from enum import StrEnum


class ValueKind(StrEnum):
    """What a laboratory's value cell says.

    ``BELOW`` and ``ABOVE`` are censored values: the number kept beside them is the limit, never the value.
    """

    NUMBER = "number"
    BELOW = "below"
    ABOVE = "above"
    PRESENT = "present"
    ABSENT = "absent"
    TOO_NUMEROUS = "too numerous to count"
    NOT_ANALYZED = "not analyzed"
    UNREADABLE = "unreadable"


class CellOutcome(StrEnum):
    """What became of one value cell; every cell of a file has exactly one."""

    EMPTY = "empty"
    SET_ASIDE = "set aside"
    HELD = "held"
    DUPLICATE = "duplicate"
    NEW = "new"
    REVISION = "revision"


class Severity(StrEnum):
    """What a finding does to its cell: ``HOLD`` keeps it out of the results, ``FLAG`` marks it, ``NOTE`` informs."""

    HOLD = "hold"
    FLAG = "flag"
    NOTE = "note"


class ReportStatus(StrEnum):
    """How final the sender says a result is."""

    PRELIMINARY = "preliminary"
    FINAL = "final"
    REJECTED = "rejected"


class Purpose(StrEnum):
    """Why a sample was taken. Only compliance samples and their confirmations count toward a compliance statistic."""

    COMPLIANCE = "compliance"
    CONFIRMATION = "confirmation"
    PROCESS = "process"
    SPECIAL = "special"
    QUALITY_CONTROL = "quality control"


class SampleType(StrEnum):
    """The kind of sample, in full words after the open WQX activity types."""

    ROUTINE = "sample, routine"
    COMPOSITE = "sample, composite"
    FIELD_MEASUREMENT = "field measurement"
    FIELD_REPLICATE = "quality control, field replicate"
    FIELD_BLANK = "quality control, field blank"
    TRIP_BLANK = "quality control, trip blank"
    METHOD_BLANK = "quality control, method blank"
    LABORATORY_CONTROL = "quality control, laboratory control sample"
    MATRIX_SPIKE = "quality control, matrix spike"
    LABORATORY_DUPLICATE = "quality control, laboratory duplicate"
    OTHER_QUALITY_CONTROL = "quality control, other"


class ReadingFlag(StrEnum):
    """What is said of the quality of a reading, in the words of the open QARTOD manuals; ``MISSING`` is no reading."""

    GOOD = "good"
    NOT_EVALUATED = "not evaluated"
    SUSPECT = "suspect"
    FAIL = "fail"
    MISSING = "missing"


class DecisionScope(StrEnum):
    """What a person's decision is about: one version of a result, one cell of a file, or which result of a sample."""

    VERSION = "version"
    CELL = "cell"
    SAMPLE = "sample"


class DecisionAction(StrEnum):
    """What a person decided: that a version counts, that it does not, or which result of a sample is of record."""

    ACCEPT = "accept"
    REJECT = "reject"
    CHOOSE = "choose"


class Comparison(StrEnum):
    """What the number says beside the limit, before any rule is asked."""

    ABOVE = "beyond the limit"
    WITHIN = "within the limit"
    UNDECIDED = "cannot be said"
    NONE = "nothing to compare"


class Outcome(StrEnum):
    """What the rule says; worst first, the order in which pages list them."""

    EXCEEDS = "exceeds"
    REJECTION_CLAIMED = "exceeds, rejection claimed"
    ABOVE_NOT_YET = "above the number, not yet an exceedance"
    TRIGGER_REACHED = "trigger reached"
    CANNOT_DETERMINE = "cannot determine"
    NO_DATA = "no data"
    NOT_ENOUGH_DATA = "not enough data"
    NEAR_LIMIT = "near limit"
    MEETS = "meets"
    INFORMATION = "information only"
