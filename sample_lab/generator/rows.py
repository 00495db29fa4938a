"""One line of a laboratory file: its columns, and the mark that says what is wrong with it, if anything is."""

from dataclasses import dataclass, field

COLUMNS = (
    "result_id", "laboratory", "laboratory_sample", "sample", "sample_point", "collected", "received", "filtered",
    "extracted", "analyzed", "analyte", "cas_number", "fraction", "value", "unit", "basis", "qualifier",
    "detection_limit", "reporting_limit", "method", "sample_type", "purpose", "confirmation_of", "preservation",
    "receipt_temperature_c", "dilution", "replicate", "batch", "status", "revision", "reported", "comment",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Mark:
    """What was done to a line on purpose: the kind of fault, the column it stands in, and what a load should do.

    ``rule_id`` names the rule that should speak, where a rule does. ``expected`` is held, flagged, note, duplicate,
    revision, or accepted for what only looks wrong.
    """

    kind: str
    column: str
    expected: str
    rule_id: str
    why: str


@dataclass(slots=True)
class LabRow:
    """One result as the laboratory prints it; ``texts`` has every column of :data:`COLUMNS`."""

    texts: dict[str, str]
    analyte: str
    point: str
    marks: list[Mark] = field(default_factory=list)

    def copy(self, **changes: str) -> "LabRow":
        """Another line with some columns changed, without marks."""
        return LabRow({**self.texts, **changes}, self.analyte, self.point)
