"""Holding times against the published tables and worked dates; the source stands beside each test."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest

from pipeline.holding_times import (
    Kept,
    Moment,
    SampleTimes,
    choose_rules,
    judge,
    months_later,
    receipt_temperature,
)
from pipeline.method_names import method_fits
from pipeline.plant.plant import HoldingTimePolicy
from pipeline.plant.tables import HoldingTime
from pipeline.reference import shipped_holding_times

ZONE = ZoneInfo("America/Los_Angeles")
TABLE = shipped_holding_times()
DEFAULT = HoldingTimePolicy()


def rule(stage: str, max_value: str, max_unit: str, **row: object) -> HoldingTime:
    """A row of a plant's own table."""
    about = {
        "holding_time_id": f"{stage}-{max_value}",
        "programme": "SDWA",
        "written_for": "",
        "analytes": ("Nitrate",),
    }
    return HoldingTime(stage=stage, max_value=max_value, max_unit=max_unit, **(about | row))


def chosen(analyte: str, method: str, **sample: object) -> dict[str, tuple[Decimal, str]]:
    """Stage and limit of the shipped holding times that apply."""
    rules = choose_rules(TABLE, analyte, method, **sample).rules
    return {chosen.stage: (chosen.max_value, chosen.max_unit) for chosen in rules}


def at(text: str) -> Moment:
    """A local time of the plant."""
    return Moment.at(datetime.fromisoformat(text).replace(tzinfo=ZONE), ZONE)


def on(text: str) -> Moment:
    """A day of the plant, its time not known."""
    return Moment.on(date.fromisoformat(text), ZONE)


def days_after(first: Moment, days: int) -> Moment:
    return Moment.at(first.earliest + timedelta(days=days), ZONE)


def kept(holding_time: HoldingTime, policy: HoldingTimePolicy = DEFAULT, **times: Moment) -> Kept:
    return judge(holding_time, SampleTimes(**times), policy).kept


NITRATE_48_H = rule("collection->analysis", "48", "h")
VOLATILES_14_D = rule("collection->analysis", "14", "d")
METALS_6_MONTHS = rule("collection->analysis", "6", "months")


# 40 CFR 141.23(k)(2): nitrate, cooled, from water without a disinfectant, 48 hours.
def test_nitrate_at_exactly_48_hours_is_in_time():
    times = SampleTimes(at("2026-05-04 08:15"), analyzed=at("2026-05-06 08:15"))
    result = judge(NITRATE_48_H, times, DEFAULT)
    assert (result.kept, result.low_hours, result.high_hours) == (Kept.IN_TIME, 48, 48)


def test_nitrate_a_minute_after_48_hours_is_late():
    times = SampleTimes(at("2026-05-04 08:15"), analyzed=at("2026-05-06 08:16"))
    result = judge(NITRATE_48_H, times, DEFAULT)
    assert (result.kept, result.low_hours) == (Kept.LATE, 48 + Fraction(1, 60))


# EPA 524.2 section 8: 14 days. Whether a day is 24 hours or one of the calendar is a matter of policy; EPA's answer to
# a question (page 215886648) is that limits in days are not meant to the minute.
@pytest.mark.parametrize(("days", "expected"), [("exact", Kept.LATE), ("calendar", Kept.IN_TIME)])
def test_volatiles_on_the_fourteenth_day_depend_on_the_policy(days, expected):
    times = SampleTimes(at("2026-05-04 08:15"), analyzed=at("2026-05-18 13:00"))
    result = judge(VOLATILES_14_D, times, HoldingTimePolicy(days=days))
    assert (result.kept, result.low_hours) == (expected, Fraction("340.75"))


# EPA 533 section 8.5 [from memory]: 28 days to extraction, then 28 days in the extract; two clocks, not one sum.
def test_method_533_has_two_clocks_of_28_days():
    collected = at("2026-03-02 09:00")
    times = SampleTimes(collected, extracted=days_after(collected, 27), analyzed=days_after(collected, 50))
    rules = choose_rules(TABLE, "PFBA", "EPA 533").rules
    results = [judge(applied, times, DEFAULT) for applied in rules]
    assert [result.kept for result in results] == [Kept.IN_TIME, Kept.IN_TIME]
    assert [result.low_hours for result in results] == [27 * 24, 23 * 24]


# EPA 537.1 section 8.4 [from memory]: 14 days to extraction. The method decides, not the analyte.
def test_method_537_1_allows_half_the_time_of_533():
    collected = at("2026-01-05 09:00")
    times = SampleTimes(collected, extracted=days_after(collected, 27), analyzed=days_after(collected, 50))
    first, extract = (judge(applied, times, DEFAULT).kept for applied in choose_rules(TABLE, "PFOA", "EPA 537.1").rules)
    assert (first, extract) == (Kept.LATE, Kept.IN_TIME)


# 40 CFR 136.3 Table II and 40 CFR 141.23(k)(2): mercury 28 days, other metals six months, in the same bottle.
@pytest.mark.parametrize(("metal", "expected"), [("Mercury", Kept.LATE), ("Arsenic", Kept.IN_TIME)])
def test_mercury_is_late_after_30_days_and_other_metals_are_not(metal, expected):
    collected = at("2026-05-04 08:15")
    (applied,) = [
        chosen for chosen in choose_rules(TABLE, metal, "EPA 200.8 rev 5.4").rules if chosen.stage.endswith("analysis")
    ]
    assert kept(applied, collected=collected, analyzed=days_after(collected, 30)) is expected


# 40 CFR 136.3 Table II: orthophosphate, filtered within 15 minutes, analyzed within 48 hours.
def test_orthophosphate_has_a_clock_for_filtration_and_one_for_analysis():
    times = SampleTimes(at("2026-05-04 08:15"), filtered=at("2026-05-04 08:40"), analyzed=at("2026-05-05 04:15"))
    filtration = judge(rule("collection->filtration", "15", "min"), times, DEFAULT)
    assert (filtration.kept, filtration.low_hours) == (Kept.LATE, Fraction(25, 60))
    assert judge(NITRATE_48_H, times, DEFAULT).kept is Kept.IN_TIME


# Elapsed time is counted on the absolute time line. In the United States the clock goes forward on the second Sunday of
# March and back on the first Sunday of November (15 U.S.C. 260a).
def test_a_day_in_spring_has_23_hours():
    times = SampleTimes(at("2026-03-07 12:00"), analyzed=at("2026-03-08 12:00"))
    assert judge(NITRATE_48_H, times, DEFAULT).low_hours == 23


def test_a_day_in_autumn_has_25_hours():
    times = SampleTimes(at("2026-10-31 12:00"), analyzed=at("2026-11-01 12:00"))
    assert judge(NITRATE_48_H, times, DEFAULT).low_hours == 25


def test_the_clock_set_back_makes_48_hours_by_the_wall_late():
    assert kept(NITRATE_48_H, collected=at("2026-10-31 08:00"), analyzed=at("2026-11-02 08:00")) is Kept.LATE


def test_a_date_in_autumn_spans_25_hours():
    day = on("2026-11-01")
    assert day.latest - day.earliest == timedelta(hours=24, minutes=59)


def test_offsets_of_two_laboratories_do_not_matter():
    collected = Moment.at(datetime(2026, 5, 4, 15, 15, tzinfo=UTC), ZONE)
    assert judge(NITRATE_48_H, SampleTimes(collected, analyzed=at("2026-05-06 08:15")), DEFAULT).low_hours == 48


# With dates alone an elapsed time has an earliest and a latest value (arithmetic).
@pytest.mark.parametrize(
    ("analyzed", "expected"),
    [("2026-05-05", Kept.IN_TIME), ("2026-05-06", Kept.CANNOT_TELL), ("2026-05-07", Kept.LATE)],
)
def test_48_hours_between_dates(analyzed, expected):
    assert kept(NITRATE_48_H, collected=on("2026-05-04"), analyzed=on(analyzed)) is expected


def test_dates_give_the_least_and_the_most_time():
    times = SampleTimes(on("2026-05-04"), analyzed=on("2026-05-06"))
    result = judge(NITRATE_48_H, times, DEFAULT)
    assert (result.low_hours, result.high_hours) == (24 + Fraction(1, 60), 72 - Fraction(1, 60))


def test_an_analysis_on_the_day_of_collection_took_no_less_than_nothing():
    times = SampleTimes(on("2026-05-04"), analyzed=on("2026-05-04"))
    assert judge(NITRATE_48_H, times, DEFAULT).low_hours == 0


# With dates alone a limit in days is counted on the calendar, under either policy (EPA question page 215886648).
@pytest.mark.parametrize("days", ["exact", "calendar"])
@pytest.mark.parametrize(("analyzed", "expected"), [("2026-05-18", Kept.IN_TIME), ("2026-05-19", Kept.LATE)])
def test_14_days_between_dates_are_calendar_days(days, analyzed, expected):
    policy = HoldingTimePolicy(days=days)
    assert kept(VOLATILES_14_D, policy, collected=on("2026-05-04"), analyzed=on(analyzed)) is expected


# Arithmetic of the calendar: six months from 31 August end on 28 February, 180 days on 27 February.
@pytest.mark.parametrize(("months", "last_day"), [("calendar", "2027-02-28"), ("180 days", "2027-02-27")])
def test_six_months_from_the_end_of_august(months, last_day):
    policy = HoldingTimePolicy(months=months)
    collected, last = at("2026-08-31 10:00"), at(f"{last_day} 23:00")
    assert kept(METALS_6_MONTHS, policy, collected=collected, analyzed=last) is Kept.IN_TIME
    assert kept(METALS_6_MONTHS, policy, collected=collected, analyzed=days_after(last, 1)) is Kept.LATE


def test_months_later_in_a_leap_year():
    assert months_later(date(2027, 8, 31), 6) == date(2028, 2, 29)


# EPA 1613 [from a laboratory's bottle chart]: a year.
def test_a_year_is_one_of_the_calendar_under_either_policy():
    dioxin = rule("collection->analysis", "1", "year")
    for months in ("calendar", "180 days"):
        last = at("2027-05-04 20:00")
        assert (
            kept(dioxin, HoldingTimePolicy(months=months), collected=at("2026-05-04 08:15"), analyzed=last)
            is Kept.IN_TIME
        )


def test_without_a_time_of_analysis_nothing_can_be_told():
    result = judge(NITRATE_48_H, SampleTimes(at("2026-05-04 08:15")), DEFAULT)
    assert (result.kept, result.low_hours) == (Kept.CANNOT_TELL, None)


def test_an_extraction_not_reported_lies_before_the_analysis():
    extraction = rule("collection->extraction", "14", "d")
    collected = at("2026-05-04 08:15")
    assert kept(extraction, collected=collected, analyzed=days_after(collected, 14)) is Kept.IN_TIME
    assert kept(extraction, collected=collected, analyzed=days_after(collected, 15)) is Kept.CANNOT_TELL


# 40 CFR 141.23(k)(2): nitrate keeps 48 hours, 14 days where the supply is chlorinated.
@pytest.mark.parametrize(("disinfected", "limit"), [(False, (48, "h")), (True, (14, "d"))])
def test_nitrate_keeps_longer_in_disinfected_water(disinfected, limit):
    assert chosen("Nitrate", "300.0", disinfected=disinfected) == {"collection->analysis": limit}


def test_nitrate_of_water_not_known_to_be_disinfected_has_no_rule_but_a_note():
    choice = choose_rules(TABLE, "Nitrate", "EPA 300.0")
    assert (choice.rules, len(choice.notes)) == ((), 1)


# EPA 218.7 section 8 [from memory] 14 days; 40 CFR 136.3 Table II for wastewater 28 days.
@pytest.mark.parametrize(("method", "days"), [("EPA 218.7", 14), ("EPA 218.6", 28), ("", 14)])
def test_hexavalent_chromium_goes_by_method_and_then_by_the_drinking_water_rule(method, days):
    assert chosen("Chromium (hexavalent)", method) == {"collection->analysis": (days, "d")}


# 40 CFR 136.3 Table II: alkalinity 14 days; the drinking-water table has no row.
def test_another_programme_serves_where_drinking_water_has_no_row():
    assert chosen("Alkalinity, total", "SM 2320 B-2011") == {"collection->analysis": (14, "d")}


def test_without_a_method_the_rule_applies_that_all_methods_share():
    assert chosen("Trichloroethylene", "") == {"collection->analysis": (14, "d")}


def test_without_a_method_no_extract_is_asked_for_where_one_method_makes_none():
    assert chosen("Chloroform", "") == {"collection->analysis": (14, "d")}
    assert chosen("Chloroform", "EPA 551.1")["extraction->analysis"] == (14, "d")


def test_an_extract_may_have_a_rule_for_one_of_the_methods_of_its_first_clock():
    table = (
        rule("collection->extraction", "14", "d", methods=("EPA 515.3", "EPA 515.4")),
        rule("extraction->analysis", "21", "d", methods=("EPA 515.4",)),
    )
    stages = {method: len(choose_rules(table, "Nitrate", method).rules) for method in ("EPA 515.3", "EPA 515.4")}
    assert stages == {"EPA 515.3": 1, "EPA 515.4": 2}


def test_methods_that_differ_leave_a_note_instead_of_a_rule():
    choice = choose_rules(TABLE, "PFOA", "in house")
    assert "collection->extraction" not in {applied.stage for applied in choice.rules}
    assert choice.notes == (
        'The holding time of PFOA depends on the method (EPA 533, EPA 537.1), and "in house" is none of them.',
    )


# EPA 537.1 section 8 [from memory] adds Trizma, EPA 533 ammonium acetate.
def test_the_preservative_tells_methods_apart_where_the_method_is_missing():
    assert chosen("PFOA", "", preservation="Trizma 5 g/L")["collection->extraction"] == (14, "d")


@pytest.mark.parametrize(
    "written", ["EPA 300.0", "300.0", "E300.0", "EPA300.0A", "EPA 300.0 Rev 2.1", "USEPA 300.0 (1993)"]
)
def test_one_method_is_written_in_many_ways(written):
    assert method_fits("EPA 300.0", written)


@pytest.mark.parametrize("written", ["SM 4500-NO2 B", "SM4500NO2B", "SM 4500-NO2- B-2011", "4500-NO2 B"])
def test_standard_methods_are_written_in_many_ways(written):
    assert method_fits("SM 4500-NO2", written)


@pytest.mark.parametrize(
    ("method", "written"),
    [
        ("EPA 537.1", "EPA 537"),
        ("EPA 533", "EPA 533.1"),
        ("EPA 508", "EPA 508.1"),
        ("EPA 200.8", "rev 5.4"),
        ("EPA 300.0", ""),
        ("SM 2540 C", "SM 2540 D"),
        ("SM 4500-O G", "SM 4500-O C"),
        ("SM 4500-Cl", "SM 4500-ClO2 D"),
        ("SM 2340", "EPA 2340"),
    ],
)
def test_neighboring_numbers_are_other_methods(method, written):
    assert not method_fits(method, written)


# 40 CFR 136.3 Table II: "<=6 C", "<10 C" for microbiology; EPA 533 section 8 [from memory]: 10 C in the first 48 hours.
@pytest.mark.parametrize(
    ("text", "max_c", "inclusive", "early_max_c"),
    [
        ("<=6", 6, True, None),
        ("6", 6, True, None),
        ("<10", 10, False, None),
        ("10 in first 48 h, then <=6", 6, True, 10),
        ("20 at receipt, then 1-10", 20, True, None),
    ],
)
def test_receipt_temperatures_of_the_table(text, max_c, inclusive, early_max_c):
    arrival = receipt_temperature(text)
    assert (arrival.max_c, arrival.inclusive, arrival.early_max_c) == (max_c, inclusive, early_max_c)


def test_a_temperature_that_is_only_encouraged_is_not_required():
    assert receipt_temperature("10 (encouraged, not required)") is None


def test_a_temperature_may_be_allowed_for_one_of_the_methods():
    text = "<=6 (10 within 48 h for 524.3)"
    assert receipt_temperature(text, "EPA 524.3").early_max_c == 10
    assert receipt_temperature(text, "EPA 524.2").early_max_c is None


def test_every_temperature_of_the_shipped_table_is_understood():
    texts = {row.receipt_temp_max_c for row in TABLE} - {"", "10 (encouraged, not required)"}
    assert all(receipt_temperature(text) for text in texts)


def test_every_method_of_the_shipped_table_fits_itself():
    for row in TABLE:
        assert all(method_fits(method, method) for method in row.methods)
