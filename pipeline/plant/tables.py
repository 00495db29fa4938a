"""The rows of the plant folder and of the shipped reference tables, as typed and validated records.

One class a table. A row that cannot be one of these is a fault of the plant folder, reported with file, line, column
and remedy by :mod:`pipeline.plant.folder`. Empty text means "not said" and is kept as ``''``; a number or date that is
not said is ``None``.
"""

from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

Text = Annotated[str, Field(default="")]


class Row(BaseModel):
    """A frozen record of one line of a table; unknown columns are an error, not ignored."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


class SourceStatus(StrEnum):
    """How far a figure can be trusted: read in a copy of its source, recalled, recalled then checked, or computed."""

    READ = "read"
    MEMORY = "memory"
    CHECKED = "checked"
    COMPUTED = "computed"
    PLANT = "plant"


class SamplePoint(Row):
    """A place where samples are taken, in the order in which the water passes it."""

    sample_point: str
    name: str
    place: str
    disinfected: bool = False
    barrier_before: str = ""
    barrier_after: str = ""
    note: str = ""


class Analyte(Row):
    """One analyte: its name, the unit and basis in which its numbers are compared, and what is possible for it."""

    analyte: str
    cas_number: str = ""
    category: str = ""
    canonical_unit: str
    also_accepted_units: tuple[str, ...] = ()
    basis_required: bool = False
    default_basis: str = ""
    canonical_basis: str = ""
    molar_mass_g_mol: Decimal | None = None
    formula: str = ""
    value_kind: tuple[str, ...] = ("number",)
    plausible_low: Decimal | None = None
    plausible_high: Decimal | None = None
    censorable: bool = True
    fraction_meaningful: bool = True
    acute: bool = False
    calculated: bool = False
    note: str = ""
    source: str = ""
    source_status: SourceStatus = SourceStatus.PLANT


class AliasMeaning(StrEnum):
    """What kind of name an alias stands for."""

    ANALYTE = "analyte"
    POINT = "point"
    UNIT = "unit"
    LABORATORY = "laboratory"
    SET_ASIDE = "set aside"


class Alias(Row):
    """A written name and what it means, for one sender or for any (``sender`` empty).

    ``means`` is the canonical name. With kind ``set aside`` the cells of that written analyte name are set aside and
    ``means`` is the reason.
    """

    sender: str = ""
    as_written: str
    kind: AliasMeaning
    means: str = ""
    implied_basis: str = ""
    implied_fraction: str = ""
    when: str = ""
    still_needs: str = ""
    effective_from: date | None = None
    effective_to: date | None = None
    source: str = ""
    source_status: SourceStatus = SourceStatus.PLANT
    note: str = ""


class GroupMember(Row):
    """One term of a group limit: ``factor`` times the member's value [limit's unit unless ``member_unit`` says]."""

    analyte: str
    factor: Fraction = Fraction(1)


class LimitStatus(StrEnum):
    """Whether a limit is judged; only the first three ever are."""

    IN_FORCE = "in force"
    NOT_YET = "final, not yet applicable"
    RESCISSION_PROPOSED = "rescission proposed"
    PROPOSED = "proposed"
    EXAMPLE = "example"


class Limit(Row):
    """One limit: what is compared with what, how, where, since when, and by which source."""

    limit_id: str
    jurisdiction: str
    status: LimitStatus
    effective_from: date | None = None
    effective_to: date | None = None
    kind: str
    analyte: str
    cas_number: str = ""
    fraction: str = ""
    group_members: tuple[GroupMember, ...] = ()
    value: Decimal | None = None
    value_high: Decimal | None = None
    unit: str = ""
    basis: str = ""
    direction: str = "not above"
    comparison: str = "strict"
    statistic: str
    statistic_parameters: dict[str, str] = {}
    step: Decimal | None = None
    nondetect_rule: str
    acute: bool = False
    applies_at: str
    confirmation_hours: int | None = None
    trigger_values: tuple[str, ...] = ()
    source: str = ""
    source_status: SourceStatus = SourceStatus.PLANT
    note: str = ""


class HoldingTime(Row):
    """How long a sample may wait between two steps, by programme, method, preservation and stage.

    ``analytes`` are the canonical names the row covers (groups unfolded); ``disinfected`` is ``None`` where the row
    does not distinguish.
    """

    holding_time_id: str
    programme: str
    written_for: str
    analytes: tuple[str, ...]
    methods: tuple[str, ...] = ()
    container: str = ""
    preservation: str = ""
    disinfected: bool | None = None
    stage: str
    max_value: Decimal
    max_unit: str
    receipt_temp_max_c: str = ""
    source: str = ""
    source_status: SourceStatus = SourceStatus.PLANT
    note: str = ""


class Laboratory(Row):
    """A laboratory that reports or analyzes, as the plant knows it."""

    laboratory: str
    name: str = ""
    role: str = "reporting and analyzing"
    accreditation: str = ""
    note: str = ""


class MonitoringPlanRow(Row):
    """What is sampled where and how often, and between which dates."""

    sample_point: str
    analyte: str
    frequency: str
    status: str = "routine"
    effective_from: date | None = None
    effective_to: date | None = None
    laboratory: str = ""
    method: str = ""
    note: str = ""
