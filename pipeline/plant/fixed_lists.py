"""The words that a column of a plant table may hold where only certain words make sense, each list written once.

``docs/limit_table.md`` and ``docs/data_dictionary.md`` explain every word.
"""

from typing import Final

from pipeline.vocabulary import Purpose

ENTRY_POINT: Final = "finished water entry point"
SOURCE: Final = "source"
SOURCE_OR_ENTRY_POINT: Final = "source or entry point"

LIMIT_PLACES: Final = (
    ENTRY_POINT,
    "distribution",
    "tap",
    SOURCE_OR_ENTRY_POINT,
    "combined filter effluent",
    "individual filter effluent",
    "membrane unit filtrate",
    "reverse osmosis permeate",
    "reverse osmosis element test",
    "recycled water",
    "treatment train",
    "treatment chemical",
)
"""Where a limit applies."""

PLACES: Final = (
    *LIMIT_PLACES,
    "plant influent",
    "ozone effluent",
    "biological carbon effluent",
    "membrane filtrate",
    "advanced oxidation effluent",
    SOURCE,
    "other",
)
"""What kind of place a sample point is."""

ALWAYS_JUDGED: Final = ("permit", "plant")
"""Jurisdictions that a plant never has to choose: its permit, and itself."""

LIMIT_KINDS: Final = (
    "primary",
    "secondary",
    "action level",
    "treatment technique",
    "disinfectant residual maximum",
    "operating rule",
    "trigger level",
    "notification level",
    "response level",
    "reuse criterion",
    "permit",
    "internal goal",
    "goal",
    "health advisory",
    "group denominator",
)

DIRECTIONS: Final = ("not above", "not below", "within")
COMPARISONS: Final = ("strict", "inclusive")
FRACTIONS: Final = ("", "total", "dissolved", "total recoverable")

STATISTICS: Final = (
    "single value",
    "mean with confirmation",
    "by monitoring frequency",
    "running annual average of quarter means",
    "locational running annual average",
    "operational evaluation",
    "running annual average of monthly means",
    "mean of sample set",
    "percentile 90 by rank",
    "monthly share of readings",
    "monthly maximum",
    "two consecutive days",
    "next day distribution samples",
    "consecutive readings",
    "residual below level longer than",
    "consecutive months share",
    "coliform share",
    "coliform count",
    "e coli conditions",
    "running mean of weeks",
    "mean of last results",
    "running median of days",
    "count above in period",
    "window mean",
    "window share above",
    "share of results in first weeks",
    "hazard index running annual average",
    "log removal total",
    "log reduction of one process",
    "certified dose",
    "descriptive",
    "information only",
)

OWN_UNIT_STATISTICS: Final = frozenset(
    {
        "certified dose",
        "coliform count",
        "coliform share",
        "consecutive months share",
        "descriptive",
        "e coli conditions",
    }
)
"""Statistics whose limit is a share, a count or a word, and not in a unit of the analyte."""

NONDETECT_RULES: Final = (
    "zero",
    "zero; half when gross alpha stands in",
    "zero below practical quantitation level",
    "zero below state reporting limit",
    "lead and copper",
    "reported",
    "bounds",
    "at least",
    "not applicable",
)

PARAMETER_KEYS: Final = (
    "yearly_or_less",
    "more_often",
    "early",
    "missing",
    "combine",
    "scale",
    "member_unit",
    "open_group",
    "min_members_detected",
    "pre_round",
    "no_confirmation",
    "practical_quantitation_level",
    "state_reporting_limit",
    "round",
    "stand_in",
    "stand_in_max",
    "computed",
    "set",
    "set_size",
    "test",
    "rank",
    "five_samples",
    "fewer_than_five",
    "rank_not_whole",
    "site_value",
    "share_percent",
    "share_comparison",
    "interval",
    "count",
    "order",
    "then",
    "weeks",
    "days",
    "hours",
    "months",
    "window_hours",
    "max_share_percent",
    "max_count",
    "results",
    "at_least",
    "divide_value_by",
    "weights",
    "divide_by",
    "also_accepts",
    "samples_at_least",
    "samples_below",
    "counted",
    "missing_repeat",
    "conditions",
    "volume",
    "detected",
    "place",
    "after",
    "not_taken",
    "process",
    "pairs",
    "process_cap",
    "min_processes",
    "min_process_credit",
    "min_mechanisms",
    "daily",
    "monomer_percent",
    "dose_mg_per_l",
)

FREQUENCIES: Final = (
    "daily",
    "weekly",
    "monthly",
    "quarterly",
    "twice a year",
    "yearly",
    "every 3 years",
    "every 9 years",
)
PLAN_STATUSES: Final = ("routine", "increased", "reduced")
PURPOSES: Final = tuple(purpose.value for purpose in Purpose)

PROGRAMMES: Final = ("SDWA", "CWA")
"""Safe Drinking Water Act and Clean Water Act; a plant may add the name of its own permit."""

HOLDING_STAGES: Final = (
    "collection->analysis",
    "collection->extraction",
    "collection->filtration",
    "collection->elution",
    "extraction->analysis",
)
HOLDING_UNITS: Final = ("min", "h", "d", "months", "year")

BASIS_IN_NAME: Final = "basis"
"""What ``still_needs`` says of a name whose basis is not in it."""

VALUE_KINDS: Final = ("number", "count", "percent", "log", "text", "present/absent")
