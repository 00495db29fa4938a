"""The rows of the plant folder and of the shipped reference tables, as typed and validated records.

One class a table. A row that cannot be one of these is a fault of the plant folder, reported with file, line, column
and remedy by :mod:`pipeline.plant.folder`. Empty text means "not said" and is kept as ``''``; a number or date that is
not said is ``None``.
"""

from enum import StrEnum
from fractions import Fraction
from typing import Annotated, ClassVar

from pydantic import BaseModel, ConfigDict

from pipeline.plant.cells import (
    DateOrNothing,
    ExactNumber,
    ExactNumberOrNothing,
    Number,
    NumberOrNothing,
    Parameters,
    Step,
    TimeText,
    WholeNumberOrNothing,
    Words,
    YesNo,
    YesNoOrNothing,
    read_members,
)
from pipeline.vocabulary import Purpose


class Row(BaseModel):
    """A frozen record of one line of a table; unknown columns are an error, not ignored.

    An empty cell takes the default of its column, except in the columns of ``must_be_said``.
    """

    must_be_said: ClassVar[frozenset[str]] = frozenset()

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

    must_be_said: ClassVar[frozenset[str]] = frozenset({"disinfected"})

    sample_point: str
    name: str
    place: str
    disinfected: YesNo = False
    barrier_before: str = ""
    barrier_after: str = ""
    note: str = ""


class Analyte(Row):
    """One analyte: its name, the unit and basis in which its numbers are compared, and what is possible for it."""

    analyte: str
    cas_number: str = ""
    category: str = ""
    canonical_unit: str
    also_accepted_units: Words = ()
    basis_required: YesNo = False
    default_basis: str = ""
    canonical_basis: str = ""
    molar_mass_g_mol: NumberOrNothing = None
    formula: str = ""
    value_kind: Words = ("number",)
    plausible_low: NumberOrNothing = None
    plausible_high: NumberOrNothing = None
    censorable: YesNo = True
    fraction_meaningful: YesNo = True
    acute: YesNo = False
    calculated: YesNo = False
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
    effective_from: DateOrNothing = None
    effective_to: DateOrNothing = None
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
    """One limit: what is compared with what, how, where, since when, and by which source.

    ``step`` is the rounding step [``unit``], ``None`` for a comparison without rounding (``exact`` in the table).
    ``effective_from`` and ``effective_to`` are both inclusive; ``None`` means not known, and is taken as open.
    """

    must_be_said: ClassVar[frozenset[str]] = frozenset({"step"})

    limit_id: str
    jurisdiction: str
    status: LimitStatus
    effective_from: DateOrNothing = None
    effective_to: DateOrNothing = None
    kind: str
    analyte: str
    cas_number: str = ""
    fraction: str = ""
    group_members: Annotated[tuple[GroupMember, ...], read_members] = ()
    value: NumberOrNothing = None
    value_high: NumberOrNothing = None
    unit: str = ""
    basis: str = ""
    direction: str = "not above"
    comparison: str = "strict"
    statistic: str
    statistic_parameters: Parameters = {}
    step: Step = None
    nondetect_rule: str
    acute: YesNo = False
    applies_at: str
    confirmation_hours: WholeNumberOrNothing = None
    trigger_values: Words = ()
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
    analytes: Words
    methods: Words = ()
    container: str = ""
    preservation: str = ""
    disinfected: YesNoOrNothing = None
    stage: str
    max_value: Number
    max_unit: str
    receipt_temp_max_c: str = ""
    source: str = ""
    source_status: SourceStatus = SourceStatus.PLANT
    note: str = ""


class ShippedAlias(Row):
    """A written name that ships with the code, in one scope.

    Scope ``any sender`` fits every file, a scope such as ``USGS NWIS`` only the layouts that name it, and a name in
    scope ``do not resolve`` is held with the sentence in ``note``.
    """

    scope: str
    as_written: str
    means: str = ""
    implied_basis: str = ""
    implied_fraction: str = ""
    when: str = ""
    still_needs: str = ""
    source: str = ""
    source_status: SourceStatus = SourceStatus.MEMORY
    note: str = ""


class UnitSpelling(Row):
    """One written unit: value in ``base_unit`` = value x ``factor`` + ``offset``, both exact.

    ``factor`` and ``offset`` are ``None`` for an ambiguous spelling, which is held with the sentence in ``note``.
    ``matrix`` is ``any``, or the only matrix (water, gas, solid) in which the spelling has this meaning.
    """

    as_written: str
    canonical_unit: str = ""
    ucum: str = ""
    factor: ExactNumberOrNothing = None
    offset: ExactNumberOrNothing = None
    base_unit: str = ""
    dimension: str = ""
    implied_basis: str = ""
    matrix: str = "any"
    ambiguous: YesNo = False
    note: str = ""


class BasisFactor(Row):
    """One conversion between two bases of the same analyte: value on ``to_basis`` = value x ``factor_exact``.

    ``from_basis`` or ``to_basis`` is ``meq/L`` for an equivalent weight [mg/meq]. Only rows with ``used_for``
    ``conversion`` convert a result; the others state a stand-in, a dosing ratio or a ratio of standards.
    """

    analyte_family: str
    analytes: Words
    from_basis: str
    to_basis: str
    factor: Number
    factor_exact: ExactNumber
    used_for: str = "conversion"
    formula: str = ""
    atomic_weights_used: str = ""
    note: str = ""
    source_status: SourceStatus = SourceStatus.COMPUTED


class AnalyteGroupMember(Row):
    """One member of a group of analytes: a sum, a choice (``any one of``), or the set a holding time is written for."""

    group: str
    relation: str
    member: str
    named_in: str = ""
    source_status: SourceStatus = SourceStatus.MEMORY


class Laboratory(Row):
    """A laboratory that reports or analyzes, as the plant knows it.

    ``turnaround_days`` is how long its report may take after it received a sample [d]; ``None`` when not said.
    """

    laboratory: str
    name: str = ""
    role: str = "reporting and analyzing"
    accreditation: str = ""
    turnaround_days: WholeNumberOrNothing = None
    note: str = ""


class MonitoringPlanRow(Row):
    """What is sampled where and how often, and between which dates.

    ``turnaround_days`` comes before that of the laboratory, for an analysis that takes longer [d].
    """

    sample_point: str
    analyte: str
    frequency: str
    status: str = "routine"
    effective_from: DateOrNothing = None
    effective_to: DateOrNothing = None
    laboratory: str = ""
    method: str = ""
    turnaround_days: WholeNumberOrNothing = None
    note: str = ""


class SampleLogEntry(Row):
    """One sample as the plant logged it.

    ``collected`` and ``received`` keep their text: ISO 8601, local to the plant unless an offset is written, or a bare
    date. ``confirmation_of`` is the ``sample`` of the first sample that this one confirms.
    """

    sample: str
    sample_point: str
    collected: TimeText = ""
    received: TimeText = ""
    purpose: str = Purpose.COMPLIANCE
    confirmation_of: str = ""
    note: str = ""
