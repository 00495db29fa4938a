"""Rows of the tables: verdicts by kind, held reasons, limits, and the links that carry a view along."""

from datetime import UTC, date, datetime
from urllib.parse import parse_qs, urlsplit

from app.dashboard import controls, limit_rows, links, person_list, verdict_rows
from app.held_cells import Held, number_of_cells, reasons
from pipeline.vocabulary import Outcome

ON = date(2026, 11, 20)
HELD_AT = datetime(2026, 11, 14, tzinfo=UTC)


def held(line: int, rule: str = "unit", column: str = "value", cell: int | None = None) -> Held:
    return Held(
        load_id=1,
        cell_id=line if cell is None else cell,
        held_since=HELD_AT,
        file="a.csv",
        line=line,
        column=column,
        value="1",
        unit="parts",
        analyte="Boron",
        sample_point="FW",
        collected="2026-11-01",
        rule=rule,
        reason=f"{rule} not known.",
        remedy="Name it.",
    )


def test_the_most_frequent_reason_comes_first() -> None:
    found = reasons([held(1, "basis"), held(2), held(3)])
    assert [(reason.rule, reason.number) for reason in found] == [("unit", 2), ("basis", 1)]


def test_a_cell_with_two_reasons_is_one_held_cell() -> None:
    assert number_of_cells([held(1), held(1, "basis"), held(2)]) == 2


def test_a_reason_names_its_column_and_lines() -> None:
    (reason,) = reasons([held(12), held(13), held(14)])
    assert reason.place() == "Column value, lines 12 to 14"


def test_two_columns_are_not_named_as_one() -> None:
    (reason,) = reasons([held(12), held(14, column="Boron")])
    assert reason.place() == "Lines 12 and 14"


def test_kinds_are_in_the_order_of_their_force(verdict, limit) -> None:
    some = [verdict(limit=limit(kind=kind)) for kind in ("secondary", "notification level", "primary", "our own")]
    table = verdict_rows.by_kind(some, None)
    names = [name.split("]")[0].strip("[") for name in table["Limits"]]
    assert names == ["Primary", "Notification level", "Secondary", "Our own"]


def test_a_kind_names_what_is_above_or_triggered_and_counts_the_rest(verdict) -> None:
    (row,) = verdict_rows.by_kind([verdict(Outcome.EXCEEDS, "2")] * 6, None)["Above or triggered"]
    assert row.count("[Bromate]") == verdict_rows.MOST_NAMES
    assert row.endswith("and 2 more")


def test_rows_for_information_are_not_counted_among_the_limits(verdict) -> None:
    table = verdict_rows.by_kind([verdict(), verdict(Outcome.INFORMATION)], None)
    assert table["Number"].tolist() == ["1"]


def test_a_link_carries_limit_point_and_day(verdict) -> None:
    link = verdict_rows.analyte_link(verdict(), ON)
    address = urlsplit(link.split("](")[1].rstrip(")"))
    assert address.path == links.PATHS[links.ANALYTE]
    assert parse_qs(address.query) == {"on": ["2026-11-20"], "limit": ["bromate"], "point": ["CW-1"]}


def test_a_name_cannot_end_its_link_early() -> None:
    link = links.markdown("a](http://b", links.ANALYTE, {"limit": "x) y"})
    assert link.endswith("](analyte?limit=x%29%20y)")
    assert link.count("](") == 1
    assert "\\]\\(" in link


def test_a_long_action_is_cut_at_a_word() -> None:
    assert verdict_rows.shortened("draw confirmation within 24 hours") == "draw confirmation within 24…"
    assert verdict_rows.shortened("review; resample") == "review; resample"


def test_what_needs_a_person_begins_with_what_is_acute(verdict, limit) -> None:
    nitrate = limit(analyte="Nitrate", kind="primary", value="10", unit="mg/L")
    acute = verdict(Outcome.ABOVE_NOT_YET, "1.1", limit=nitrate, act_now=True, next_action="confirm by 14:00")
    lines = person_list.entries([verdict(Outcome.EXCEEDS, "2"), acute], [], ON, None)
    assert "act now" in lines[0].label
    assert "confirm by 14" in lines[0].label
    assert lines[1].label.startswith(":red[**■ 1**] limit exceeded")


def test_nothing_to_do_is_said_in_words(verdict) -> None:
    assert person_list.heading(person_list.entries([verdict()], [], ON, None)) == (
        "What needs a person today? Nothing."
    )


def test_the_number_of_things_adds_up(verdict) -> None:
    some = [verdict(Outcome.EXCEEDS, "2"), verdict(Outcome.TRIGGER_REACHED), verdict(Outcome.CANNOT_DETERMINE)]
    assert person_list.heading(person_list.entries(some, [], ON, None)).endswith("3 things.")


def test_options_of_the_list_show_what_they_say(verdict) -> None:
    some = [verdict(outcome) for outcome in Outcome]
    unanswered = controls.shown(some, controls.WITHOUT_ANSWER)
    assert {one.outcome for one in unanswered} == {
        Outcome.CANNOT_DETERMINE,
        Outcome.NO_DATA,
        Outcome.NOT_ENOUGH_DATA,
    }
    assert controls.shown(some, controls.EVERY) == some
    assert controls.shown(some, controls.kind_option("primary")) == some


def test_limits_are_found_by_every_word(limit) -> None:
    table = [limit(), limit(limit_id="x", analyte="Boron", source="40 CFR 141.62")]
    standing = dict.fromkeys(["bromate", "x"], limit_rows.YES)
    found = limit_rows.matching(table, standing, kind="any", whose="any", state="any", sought="BORON 141.62")
    assert [one.limit_id for one in found] == ["x"]


def test_figures_from_memory_are_named_first_with_the_advice(limit) -> None:
    text = limit_rows.trust([limit(source_status="read"), limit(source_status="memory")])
    assert "1 from memory, 1 read in the source" in text
    assert "Confirm" in text
