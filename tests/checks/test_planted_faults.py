"""Each suite passes clean cells and catches each planted fault by name, and no other rule speaks up.

One load holds every fault, one a cell; the checks run once.
"""

from datetime import UTC, date, datetime
from decimal import Decimal
from types import MappingProxyType
from typing import Any

import pytest

from checks.rules import read_rules
from pipeline.reference import shipped_holding_times


def at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def number(text: str) -> dict[str, Any]:
    """The columns of a number as written."""
    return {"value_text": text, "value": Decimal(text), "canonical_value": Decimal(text)}


def below(text: str) -> dict[str, Any]:
    """The columns of a non-detect as written."""
    return {**number(text), "value_text": f"<{text}", "value_kind": "below"}


def moment(step: str, instant: str) -> dict[str, Any]:
    """The columns of one step, in UTC; the plant's day is given by hand where it differs."""
    return {f"{step}_text": instant, f"{step}_at": at(instant), f"{step}_on": date.fromisoformat(instant[:10])}


def day(step: str, text: str) -> dict[str, Any]:
    """The columns of one step of which only the date is known."""
    return {f"{step}_text": text, f"{step}_at": None, f"{step}_on": date.fromisoformat(text)}


def not_given(step: str) -> dict[str, Any]:
    return {f"{step}_text": "", f"{step}_at": None, f"{step}_on": None}


def analyte(name: str, method: str, unit: str = "mg/L", **more: Any) -> dict[str, Any]:
    return {
        "analyte": name,
        "analyte_text": name,
        "cas_text": "",
        "method_text": method,
        "fraction": "",
        "unit": unit,
        **more,
    }


NITRATE = MappingProxyType(
    {**analyte("Nitrate", "EPA 300.0", basis="as N"), "sample_point": "RO-1", **not_given("received")}
)
E_COLI = MappingProxyType(
    {
        **analyte("E. coli", "SM 9223 B", "MPN/100 mL", unit_dimension="MPN per volume"),
        **moment("analyzed", "2026-05-05 15:00"),
    }
)
ABSENT = MappingProxyType(
    {
        "value_text": "absent",
        "value_kind": "absent",
        "value": None,
        "canonical_value": None,
        "unit": None,
        "unit_text": "",
    }
)

CLEAN: dict[str, dict[str, Any]] = {
    "the clean cell itself": {},
    "a non-detect with its limit": below("0.5"),
    "E. coli absent, without a unit": {**E_COLI, **ABSENT},
    "a bottle that broke": {
        **ABSENT, "value_text": "bottle broken", "value_kind": "not analyzed", **not_given("analyzed"),
    },
    "a method blank": {
        "sample_type": "quality control, method blank", "point_text": "", "sample_point": None,
        **not_given("collected"), **not_given("received"), **below("0.5"),
    },
    "pH read in the field": {
        **analyte("pH", "SM 4500-H+ B", "pH units", unit_dimension="pH"), **number("8.1"),
        "sample_type": "field measurement", **not_given("analyzed"),
    },
    "gross alpha below zero, with its uncertainty": {
        **analyte("Gross alpha", "EPA 900.0", "pCi/L", unit_dimension="activity per volume"), **number("-0.4"),
        "uncertainty": Decimal("0.9"),
    },
    "nitrate within 48 hours": {**NITRATE, **moment("analyzed", "2026-05-06 15:15")},
    "still cooling on the day of collection": {
        **analyte("Alkalinity, total", "SM 2320 B"), "receipt_temperature_text": "14", "receipt_temperature_c": 14,
        "comment_text": "Arrived on ice.",
    },
}  # fmt: skip

PLANTED: list[tuple[str, dict[str, Any]]] = [
    # readable
    ("row_not_aligned", {"row_problem": "the row has 11 cells, the header 12."}),
    ("value_not_readable", {"value_text": "1..2", "value_kind": "unreadable", "value": None, "canonical_value": None}),
    ("value_changes_when_stored", {"value_text": "12.0000000000000012", "value": Decimal("12.000000000000001")}),
    ("value_changes_when_stored", {"value_text": "<4e-19", "value_kind": "above", "value": Decimal(0)}),
    ("limit_not_readable", {"reporting_limit_text": "0..5", "reporting_limit": None, "limit_problem": "no number."}),
    ("limit_not_readable", {"reporting_limit_text": "5", "reporting_limit": None, "limit_unit_text": "MPN/100 mL"}),
    ("collected_time_missing", not_given("collected")),
    ("collected_time_not_readable", {**not_given("collected"), "collected_text": "May 4"}),
    ("word_not_known", {"word_problem": 'the purpose "weekly" is not known.'}),
    ("time_not_readable", {**not_given("received"), "received_text": "noon"}),
    ("time_in_doubt", {"time_problem": '"2026-11-01 01:30" happened twice: the clock was set back.'}),
    ("receipt_temperature_not_readable", {"receipt_temperature_text": "on ice"}),
    # identified
    ("analyte_not_known", {"analyte": None, "analyte_text": "Arsenik", "analyte_problem": "not known."}),
    ("cas_number_contradicts_name", {"cas_text": "7439-92-1"}),
    ("cas_number_contradicts_name", {"analyte_problem": "CAS number 7439-92-1 is that of Lead."}),
    ("cas_number_not_sound", {"cas_text": "7440-38-3"}),
    ("cas_number_not_sound", {"cas_text": "1974-03-01"}),
    ("sample_point_not_known", {"sample_point": None, "point_text": "Finished tap"}),
    ("basis_missing", {**NITRATE, "basis_problem": "Nitrate without a basis: as N or as the ion?",
                       "convertible": False, **moment("analyzed", "2026-05-05 15:15")}),
    ("unit_not_known", {"unit": None, "unit_text": "ug/kg?", "unit_problem": "not known.", "convertible": False}),
    ("unit_not_known", {"unit": None, "unit_text": "", "convertible": False}),
    ("unit_of_another_kind", {"unit": "NTU", "unit_text": "NTU", "convertible": False}),
    ("kind_of_value_does_not_fit", {**ABSENT}),
    ("kind_of_value_does_not_fit", {**ABSENT, "value_kind": "too numerous to count", "value_text": "TNTC"}),
    # possible
    ("value_not_possible", number("12000000")),
    ("value_not_possible", number("-999")),
    ("value_not_possible", {**analyte("pH", "SM 4500-H+ B", "pH units", unit_dimension="pH"), **number("71"),
                            "sample_type": "field measurement"}),
    ("limit_not_possible", {"reporting_limit_text": "-0.5", "reporting_limit": Decimal("-0.5")}),
    ("limit_not_possible", below("0")),
    ("non_detect_without_limit", {"value_text": "ND", "value_kind": "below", "value": None, "canonical_value": None,
                                  "reporting_limit": None, "reporting_limit_text": ""}),
    ("step_long_before_collection", {**moment("received", "2025-05-04 21:00")}),
    ("step_long_before_collection", {**day("analyzed", "2026-05-02")}),
    ("steps_out_of_order", {**moment("received", "2026-05-04 15:00")}),
    ("steps_out_of_order", {**moment("extracted", "2026-05-12 10:00")}),
    ("time_in_the_future", {**moment("analyzed", "2026-07-01 17:00")}),
    ("negative_concentration", number("-0.02")),
    ("zero_concentration", number("0")),
    # timely
    ("analyzed_late", {**NITRATE, **moment("analyzed", "2026-05-06 15:16")}),
    ("analyzed_late", {**E_COLI, **moment("analyzed", "2026-05-05 21:16")}),
    ("extracted_late", {**analyte("PFOA", "EPA 537.1", "ng/L"), **moment("extracted", "2026-05-18 15:16"),
                        **moment("analyzed", "2026-05-19 17:00")}),
    ("extract_analyzed_late", {**analyte("PFOA", "EPA 533", "ng/L"), **moment("extracted", "2026-05-06 15:16"),
                               **moment("analyzed", "2026-06-04 17:00")}),
    ("eluted_late", {**analyte("Cryptosporidium", "EPA 1623.1", "oocysts/L"),
                     **moment("extracted", "2026-05-08 15:16")}),
    ("filtered_late", {**analyte("Asbestos", "EPA 100.2", "MFL"), **moment("filtered", "2026-05-06 15:16")}),
    ("filtered_late", {"fraction": "dissolved", **moment("filtered", "2026-05-04 15:40")}),
    ("field_reading_preferred", {**analyte("pH", "SM 4500-H+ B", "pH units", unit_dimension="pH")}),
    ("holding_time_in_doubt", {**NITRATE, **day("analyzed", "2026-05-06")}),
    ("holding_time_not_checked", not_given("analyzed")),
    ("holding_time_not_checked", {**analyte("PFOA", "in house", "ng/L")}),
    ("received_warm", {**analyte("Alkalinity, total", "SM 2320 B"), **moment("received", "2026-05-05 14:00"),
                       "receipt_temperature_text": "6.1", "receipt_temperature_c": Decimal("6.1")}),
    ("received_warm", {**analyte("Alkalinity, total", "SM 2320 B"), "receipt_temperature_text": "14",
                       "receipt_temperature_c": Decimal(14), "comment_text": "Office blank."}),
    ("received_frozen", {**analyte("Alkalinity, total", "SM 2320 B"), "receipt_temperature_text": "-1",
                         "receipt_temperature_c": Decimal("-1")}),
    ("nitrate_from_acidified_sample", {**NITRATE, **moment("analyzed", "2026-05-05 15:15"),
                                       "preservation_text": "H2SO4 to pH<2"}),
    # sensitive
    ("limit_not_provable", below("20")),
    ("limit_looked_up", {**below("0.5"), "limit_looked_up": True}),
    ("detection_limit_above_reporting_limit", {"detection_limit_text": "0.7", "detection_limit": Decimal("0.7")}),
    ("number_below_reporting_limit", number("0.3")),
    # qualified
    ("result_rejected", {"status": "rejected", "status_text": "Rejected"}),
    ("result_rejected", {"qualifier_text": "R"}),
    ("identification_not_certain", {"qualifier_text": "NJ"}),
    ("result_estimated", {"qualifier_text": "U; J-"}),
    ("result_estimated", {**number("0.3"), "estimated": True, "condition_text": "Present Below Quantification Limit"}),
    ("result_preliminary", {"status": "preliminary"}),
    ("qualifier_has_several_meanings", {"qualifier_text": "B"}),
]  # fmt: skip


@pytest.fixture(scope="module")
def rules_of_cell(new_load, plant_with) -> dict[int, set[str]]:
    """The rules that each cell breaks: clean cells first, then the planted ones in their order."""
    load = new_load(plant_with(shipped_holding_times()))
    load.must_prove("Arsenic", "10", "arsenic 0.010 mg/L")
    for changes in (*CLEAN.values(), *(changes for _, changes in PLANTED)):
        load.add(**changes)
    load.check(loaded_at=at("2026-06-30 17:00"))
    broken: dict[int, set[str]] = {cell_id: set() for cell_id in range(load.cells)}
    for cell_id, rule_id in load.findings():
        broken[cell_id].add(rule_id)
    return broken


@pytest.mark.parametrize(("position", "what"), list(enumerate(CLEAN)), ids=list(CLEAN))
def test_clean_cells_break_no_rule(rules_of_cell, position, what):
    assert rules_of_cell[position] == set(), what


@pytest.mark.parametrize(
    ("position", "rule_id"),
    [(len(CLEAN) + position, rule_id) for position, (rule_id, _) in enumerate(PLANTED)],
    ids=[f"{position}-{rule_id}" for position, (rule_id, _) in enumerate(PLANTED)],
)
def test_a_planted_fault_is_found_by_its_rule_alone(rules_of_cell, position, rule_id):
    assert rules_of_cell[position] == {rule_id}


def test_every_rule_has_a_planted_fault():
    assert {rule.rule_id for rule in read_rules()} == {rule_id for rule_id, _ in PLANTED}
