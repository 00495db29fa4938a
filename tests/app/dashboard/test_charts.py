"""Charts: fields, units, the marks of non-detects, gaps, and roles instead of colors."""

import json
import re
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest

from app.dashboard import chart_parts, charts
from app.dashboard.series import LimitLine, Point, Series, at_most, gaps, limit_lines, repeats, runs
from pipeline.plant.tables import LimitStatus
from pipeline.screening.model import StatisticPoint
from pipeline.vocabulary import CellOutcome

ON = date(2026, 11, 20)
PLACE = "a.csv, line 3, column value"
LIMIT = LimitLine(Fraction(10), "limit 10 µg/L (primary, running annual average)")


def point(days_ago: int, low: str, high: str | None = "", *, beyond: bool = False) -> Point:
    top = Fraction(low) if high == "" else None if high is None else Fraction(high)
    return Point(
        ON - timedelta(days=days_ago), Fraction(low), top, beyond, f"{low} µg/L", "a.csv, line 3, column value"
    )


def series(*points: Point, **changes: Any) -> Series:
    given = {"limits": (LIMIT,), "statistic": (), "statistic_name": "running annual average", "last_text": "8.8"}
    return Series(unit="ug/L", points=points, on=ON, **(given | changes))


MEASURED = [point(90, "4"), point(60, "12", beyond=True), point(30, "6")]


def spec(chart: Any) -> dict[str, Any]:
    return json.loads(chart.to_json())


def rows(layer: dict[str, Any], chart: dict[str, Any]) -> list[dict[str, Any]]:
    return chart["datasets"][layer["data"]["name"]]


def layers(chart: dict[str, Any], mark: str) -> list[dict[str, Any]]:
    return [layer for layer in chart["layer"] if layer["mark"]["type"] == mark]


def test_no_chart_names_a_color() -> None:
    account = charts.account_bar({CellOutcome.NEW: 3, CellOutcome.HELD: 1})
    for chart in (charts.analyte_chart(series(*MEASURED, point(10, "0", "5"))), account):
        assert not re.search(r"#[0-9a-fA-F]{3,8}\b|rgb\(", chart.to_json())


def test_every_color_scale_has_all_ten_roles_in_the_order_of_the_theme() -> None:
    chart = spec(charts.analyte_chart(series(*MEASURED)))
    domains = [layer["encoding"]["color"]["scale"]["domain"] for layer in chart["layer"]]
    assert all(domain == chart_parts.ROLES for domain in domains)
    assert chart_parts.ROLES == ["data", "over", "watch", "open", "quiet", "ink", "faint", "fainter", "muted", "paper"]


def test_only_points_above_the_number_have_the_role_over() -> None:
    chart = spec(charts.analyte_chart(series(*MEASURED)))
    (dots,) = layers(chart, "point")
    assert [row["role"] for row in rows(dots, chart)] == ["data", "over", "data"]


def test_a_measured_value_that_does_not_count_is_an_open_dot() -> None:
    late = replace(point(10, "7"), counts=False)
    chart = spec(charts.analyte_chart(series(*MEASURED, late)))
    counting, not_counting = layers(chart, "point")
    assert counting["mark"]["filled"] is True
    assert not_counting["mark"]["filled"] is False
    assert rows(not_counting, chart)[0]["spoken"].endswith("does not count")


def test_a_non_detect_is_a_stroke_with_a_cap_and_never_a_dot() -> None:
    chart = spec(charts.analyte_chart(series(*MEASURED, point(10, "0", "5"))))
    (dots,), (cap,) = layers(chart, "point"), layers(chart, "tick")
    stroke = layers(chart, "rule")[-1]
    assert len(rows(dots, chart)) == 3
    assert [(row["low"], row["high"]) for row in rows(stroke, chart)] == [(0, 5)]
    assert cap["encoding"]["y"]["field"] == "high"


def test_a_value_above_a_number_is_a_stroke_upward_from_it() -> None:
    chart = spec(charts.analyte_chart(series(point(10, "9", None))))
    (cap,), stroke = layers(chart, "tick"), layers(chart, "rule")[-1]
    (row,) = rows(stroke, chart)
    assert cap["encoding"]["y"]["field"] == "low"
    assert row["low"] == 9
    assert row["high"] > 9


def test_the_limit_line_carries_its_value_kind_and_statistic() -> None:
    chart = spec(charts.analyte_chart(series(*MEASURED)))
    (line,) = rows(layers(chart, "rule")[0], chart)
    assert (line["value"], line["text"]) == (10, LIMIT.words)


def test_a_proposed_limit_is_dashed() -> None:
    proposed = LimitLine(Fraction(4), "limit 4 µg/L (proposed)", proposed=True)
    chart = spec(charts.analyte_chart(series(*MEASURED, limits=(proposed,))))
    assert layers(chart, "rule")[0]["mark"]["strokeDash"] == [4, 4]


def test_a_changed_limit_steps_on_its_day() -> None:
    changed = ON - timedelta(days=45)
    old, new = LimitLine(Fraction(10), "old", None, changed), LimitLine(Fraction(5), "new", changed, None)
    chart = spec(charts.analyte_chart(series(*MEASURED, limits=(old, new))))
    before, after = rows(layers(chart, "rule")[0], chart)
    assert before["to"] == after["on"]
    assert (before["value"], after["value"]) == (10, 5)


def test_the_statistic_is_a_step_held_to_the_day_of_evaluation() -> None:
    steps = (StatisticPoint(date(2026, 6, 30), Fraction(8), Fraction(8)),)
    chart = spec(charts.analyte_chart(series(*MEASURED, statistic=steps)))
    step = next(layer for layer in layers(chart, "line") if layer["mark"].get("interpolate") == "step-after")
    assert [row["on"][:10] for row in rows(step, chart)] == ["2026-06-30", "2026-11-20"]


def test_two_bounds_of_the_statistic_are_two_steps() -> None:
    steps = (StatisticPoint(date(2026, 6, 30), Fraction(6), Fraction(8)),)
    chart = spec(charts.analyte_chart(series(*MEASURED, statistic=steps)))
    drawn = [layer["encoding"]["y"]["field"] for layer in layers(chart, "line") if "interpolate" in layer["mark"]]
    assert drawn == ["low", "high"]
    assert len(layers(chart, "area")) == 1


def test_days_do_not_move_with_the_time_zone_of_the_reader() -> None:
    chart = spec(charts.analyte_chart(series(*MEASURED)))
    assert chart["encoding"]["x"]["scale"]["type"] == "utc"


def test_the_value_axis_begins_at_zero() -> None:
    chart = spec(charts.analyte_chart(series(*MEASURED)))
    assert chart["encoding"]["y"]["scale"]["domain"][0] == 0


def test_every_point_says_where_it_came_from() -> None:
    chart = spec(charts.analyte_chart(series(*MEASURED)))
    (dots,) = layers(chart, "point")
    assert {tip["field"] for tip in dots["encoding"]["tooltip"]} == {"day", "text", "place"}
    assert rows(dots, chart)[0]["place"] == PLACE


def test_helper_marks_are_silent_and_points_speak() -> None:
    chart = spec(charts.analyte_chart(series(*MEASURED)))
    assert all(layer["mark"]["aria"] is False for layer in layers(chart, "text"))
    (dots,) = layers(chart, "point")
    assert rows(dots, chart)[1]["spoken"].endswith("12 µg/L, beyond the limit")


def test_the_description_carries_the_numbers() -> None:
    text = charts.analyte_description("Bromate", series(*MEASURED, point(10, "0", "5")))
    for fact in ("4 results", "3 measured, from 4 µg/L to 12 µg/L", "1 not detected", "limit 10 µg/L", "8.8 µg/L"):
        assert fact in text


def test_a_chart_of_nothing_but_a_limit_can_be_drawn() -> None:
    assert spec(charts.analyte_chart(series()))["layer"]


def test_a_line_breaks_at_a_non_detect() -> None:
    assert runs([point(90, "4"), point(60, "0", "5"), point(30, "6"), point(20, "7")]) == [0, 1, 2, 2]


def test_a_line_breaks_at_a_gap() -> None:
    days = [300, 270, 240, 90, 60, 30]
    assert runs([point(days_ago, "4") for days_ago in days]) == [0, 0, 0, 1, 1, 1]


def test_a_gap_is_shown_as_no_samples() -> None:
    days = [300, 270, 240, 90, 60, 30]
    chart = spec(charts.analyte_chart(series(*(point(days_ago, "4") for days_ago in days))))
    assert len(layers(chart, "rect")) == 1
    assert any("no samples" in str(rows(label, chart)) for label in layers(chart, "text"))


def test_an_even_series_has_no_gap() -> None:
    assert gaps([ON - timedelta(days=30 * month) for month in range(12)]) == []


def test_thinning_keeps_the_highest_and_the_lowest() -> None:
    many = [point(10_000 - index, str(index % 97)) for index in range(9000)]
    spiked = [*many[:4000], point(6000, "900", beyond=True), *many[4001:]]
    kept = at_most(spiked, 2000)
    assert len(kept) <= 2000
    assert any(one.beyond for one in kept)
    assert min(one.top for one in kept) == 0


def test_limits_in_another_unit_are_not_drawn_on_this_axis(limit) -> None:
    lines = limit_lines([limit(), limit(unit="mg/L")], "ug/L")
    assert [line.value for line in lines] == [10]


@pytest.mark.parametrize("status", [LimitStatus.PROPOSED, LimitStatus.NOT_YET, LimitStatus.EXAMPLE])
def test_what_is_not_in_force_is_drawn_as_proposed(limit, status: LimitStatus) -> None:
    assert limit_lines([limit(status=status)], "ug/L")[0].proposed


ACCOUNT = {
    CellOutcome.EMPTY: 212,
    CellOutcome.SET_ASIDE: 96,
    CellOutcome.HELD: 41,
    CellOutcome.DUPLICATE: 310,
    CellOutcome.NEW: 617,
    CellOutcome.REVISION: 8,
}


def account_rows(cells: dict[CellOutcome, int]) -> list[dict[str, Any]]:
    chart = spec(charts.account_bar(cells))
    return rows(chart["layer"][0], chart)


def test_the_account_bar_is_the_account_end_to_end() -> None:
    drawn = account_rows(ACCOUNT)
    assert [row["name"] for row in drawn] == [outcome.value for outcome in CellOutcome]
    assert [row["end"] - row["start"] for row in drawn] == pytest.approx([n / 1284 for n in ACCOUNT.values()], abs=1e-3)
    assert drawn[-1]["end"] == pytest.approx(1)
    assert all(row["start"] == before["end"] for before, row in pairwise(drawn))


def test_one_held_cell_among_thousands_can_be_seen() -> None:
    held, _new = account_rows({CellOutcome.HELD: 1, CellOutcome.NEW: 9999})
    assert held["end"] - held["start"] == pytest.approx(charts.NARROWEST_SHARE, rel=0.01)


def test_a_statistic_that_is_the_results_themselves_is_not_drawn_again() -> None:
    own = [StatisticPoint(one.on, one.low, one.low) for one in MEASURED]
    assert repeats(own, MEASURED)
    assert not repeats([StatisticPoint(ON, Fraction(8), Fraction(8))], MEASURED)


def test_only_the_held_number_is_in_the_color_of_the_open() -> None:
    drawn = account_rows(ACCOUNT)
    assert [row["name"] for row in drawn if row["text_role"] == "open"] == ["held"]


def test_what_did_not_happen_has_no_segment() -> None:
    assert [row["name"] for row in account_rows({CellOutcome.NEW: 5, CellOutcome.HELD: 0})] == ["new"]


def test_an_empty_file_can_be_drawn() -> None:
    assert account_rows({}) == []
