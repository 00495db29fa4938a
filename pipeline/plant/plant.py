"""The plant as its folder describes it, read and validated: one frozen value that everything else is given."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from hashlib import sha256
from pathlib import Path
from zoneinfo import ZoneInfo

from pipeline.plant.analyzers import Analyzer
from pipeline.plant.monitoring import row_in_force
from pipeline.plant.names import Names
from pipeline.plant.tables import (
    Alias,
    Analyte,
    AnalyteGroupMember,
    HoldingTime,
    Laboratory,
    Limit,
    MonitoringPlanRow,
    SampleLogEntry,
    SamplePoint,
)
from pipeline.units import UnitTable


@dataclass(frozen=True, slots=True)
class HoldingTimePolicy:
    """How a plant counts holding times where practices differ.

    Attributes
    ----------
    days
        ``exact``: 14 days are 336 hours when both times are known; ``calendar``: to the end of the fourteenth day.
    months
        ``calendar``: to the same day of the sixth month; ``180 days``.
    """

    days: str = "exact"
    months: str = "calendar"


@dataclass(frozen=True)
class Plant:
    """Everything the plant folder says, together with the shipped tables it uses.

    Attributes
    ----------
    near_limit_share
        Share of a limit from which a value shows as near the limit, for example 4/5.
    jurisdictions
        Whose limits are judged; limits of the permit and of the plant itself always are.
    demonstration_date
        The day that stands for today in a plant of invented data, which ends then; ``None`` in a real one.
    limits
        In the order of the table.
    sample_log
        By our own sample id.
    analyzers
        By the tag of the historian.
    contents
        File name and bytes of all that the version covers; shipped tables under ``shipped/``.
    """

    folder: Path
    name: str
    zone: ZoneInfo
    near_limit_share: Fraction
    jurisdictions: tuple[str, ...]
    holding_time_policy: HoldingTimePolicy
    display_units: Mapping[str, str]
    demonstration_date: date | None
    sample_points: Mapping[str, SamplePoint]
    analytes: Mapping[str, Analyte]
    analyte_groups: tuple[AnalyteGroupMember, ...]
    aliases: tuple[Alias, ...]
    limits: tuple[Limit, ...]
    holding_times: tuple[HoldingTime, ...]
    laboratories: Mapping[str, Laboratory]
    monitoring_plan: tuple[MonitoringPlanRow, ...]
    sample_log: Mapping[str, SampleLogEntry]
    units: UnitTable = field(compare=False, repr=False)
    names: Names = field(compare=False, repr=False)
    contents: Mapping[str, bytes] = field(repr=False)
    version: str
    analyzers: Mapping[str, Analyzer] = field(default_factory=dict)

    def files(self) -> dict[str, bytes]:
        """Name and bytes of every file that ``version`` covers, ready to be archived."""
        return dict(self.contents)

    def frequency(self, sample_point: str, analyte: str, on: date) -> MonitoringPlanRow | None:
        """The row of the monitoring plan in force for an analyte at a sample point on a day, if there is one."""
        return next(
            (
                row
                for row in self.monitoring_plan
                if row.sample_point == sample_point and row.analyte == analyte and row_in_force(row, on)
            ),
            None,
        )

    def group_members(self, group: str) -> tuple[str, ...]:
        """Analytes of a named group, in the order of the table; empty for an unknown group."""
        return tuple(row.member for row in self.analyte_groups if row.group == group)


def version_of(contents: Mapping[str, bytes]) -> str:
    """SHA-256 over names and bytes, whatever the order in which the files were read.

    Each name and each content is hashed on its own first, so that no two sets of files can run together.
    """
    digest = sha256()
    for name in sorted(contents):
        digest.update(sha256(name.encode()).digest())
        digest.update(sha256(contents[name]).digest())
    return digest.hexdigest()
