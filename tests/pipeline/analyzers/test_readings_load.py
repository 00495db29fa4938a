"""What becomes of each cell of a file of readings: read, held, set aside, known or replaced; and that all add up."""

from collections.abc import Callable, Iterable
from datetime import UTC, datetime
from decimal import Decimal

import pytest

from pipeline.errors import FileError
from tests.pipeline.analyzers.historian import TAGS, Historian, account, narrow_layout, wide_layout

HEADER = "time,tag,value,status\n"


def at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def test_a_reading_is_kept_with_tag_time_value_flag_and_line(historian: Historian) -> None:
    historian.load(f"{HEADER}2026-05-04 08:00:00,TURB,0.021,Good\n2026-05-04 08:01:00,TURB,0.030,Bad\n")
    assert historian.ask("SELECT read_at, value, flag, line FROM reading ORDER BY line") == [
        (at("2026-05-04 08:00"), Decimal("0.021000"), 1, 2),
        (at("2026-05-04 08:01"), Decimal("0.030000"), 4, 3),
    ]


def test_other_spellings_of_a_tag_are_the_tag(historian: Historian) -> None:
    historian.load(f"{HEADER}2026-05-04 08:00:00,fin  turbidity,0.021,\n")
    assert historian.in_force() == {("TURB", at("2026-05-04 08:00")): (Decimal("0.021"), 2)}


KEPT = {
    "0.021": "0.021", "-3": "-3", " 7.5 ": "7.5", ".5": "0.5", "+4": "4", "1.5E-3": "0.0015", "5.": "5",
    "99999999999.999999": "99999999999.999999", "999999999999": "999999999999", "RUN": "1", "stop": "0",
}  # fmt: skip
HELD = {
    "Bad Input": "not a number", "1_000": "not a number", "nan": "not a number", "1e": "not a number",
    '"1,5"': "not a number", "--1": "not a number", "0.0000001": "would change", "1E-7": "would change",
    "0.30000001192092896": "would change", "1000000000000": "would change", "1e400": "would change",
}  # fmt: skip
ROUNDED = {"0.30000001192092896": "0.3", "0.0305": "0.031", "-0.0305": "-0.031", "1E-7": "0", "2": "2"}


def minute_by_minute(values: Iterable[str]) -> str:
    """A file of one tag with a value each minute, from line 2 on."""
    return HEADER + "".join(f"2026-05-04 08:{minute:02}:00,TURB,{text},Good\n" for minute, text in enumerate(values))


def test_a_number_is_kept_as_it_is_written(historian: Historian) -> None:
    historian.load(minute_by_minute(KEPT))
    stored = [value for (value,) in historian.ask("SELECT value FROM reading ORDER BY line")]
    assert stored == [Decimal(kept) for kept in KEPT.values()]


def test_a_value_that_cannot_be_kept_as_it_is_is_held(historian: Historian) -> None:
    assert account(historian.load(minute_by_minute(HELD))) == {"held": len(HELD)}
    for reason, lines in historian.why().items():
        expected = [line for line, why in enumerate(HELD.values(), start=2) if why in reason]
        assert lines == expected, reason


def test_a_layout_can_say_how_many_decimals_are_meant(historian: Historian) -> None:
    historian.load(minute_by_minute(ROUNDED), narrow_layout(decimals=3))
    stored = [value for (value,) in historian.ask("SELECT value FROM reading ORDER BY line")]
    assert stored == [Decimal(kept) for kept in ROUNDED.values()]


def test_a_decimal_comma_is_read_where_the_layout_says_so(historian: Historian) -> None:
    layout = narrow_layout(decimal_comma=True, delimiter=";")
    lines = "2026-05-04 08:00:00;TURB;0,021;\n2026-05-04 08:01:00;TURB;1.021;\n2026-05-04 08:02:00;TURB;1,5e1;\n"
    assert account(historian.load(HEADER.replace(",", ";") + lines, layout)) == {"new": 2, "held": 1}
    assert historian.ask("SELECT value FROM reading ORDER BY line") == [(Decimal("0.021"),), (Decimal(15),)]


def test_nothing_is_a_reading_where_nothing_is_written(historian: Historian) -> None:
    assert account(historian.load(minute_by_minute(["", "NA", "na", "?"]))) == {"empty": 4}


def test_unknown_tags_times_and_words_are_held_with_their_lines(historian: Historian) -> None:
    report = historian.load(
        f"{HEADER}2026-05-04 08:00:00,PH,7.5,Good\n2026-05-04 08:00:00,PH,,Good\n04.05.2026 08:00,TURB,1,Good\n"
        "2026-02-30 08:00:00,TURB,1,Good\n1899-12-31 00:00:00,TURB,1,Good\n2026-05-04 08:00:00,TURB,1,Odd\n"
        "2026-05-04 08:01:00,,1,Good\n"
    )
    assert account(report) == {"empty": 1, "held": 6}
    assert {reason[:24]: lines for reason, lines in historian.why().items()} == {
        "the tag is not in analyz": [2, 8],
        "the time fits none of th": [4, 5, 6],
        'the status "Odd" is not ': [7],
    }


def test_a_status_that_says_that_there_is_no_reading_sets_it_aside(historian: Historian) -> None:
    report = historian.load(f"{HEADER}2026-05-04 08:00:00,TURB,0,None\n")
    assert account(report) == {"set_aside": 1}
    assert historian.why("set aside") == {'the status "None" says that there is no reading': []}


def test_a_rule_sets_lines_aside(historian: Historian) -> None:
    rule = {"column": "tag", "equals": ["Heartbeat"], "reason": "not ours"}
    report = historian.load(
        f"{HEADER}2026-05-04 08:00:00,HEARTBEAT ,1,Good\n2026-05-04 08:00:00,TURB,1,Good\n",
        narrow_layout(set_aside=[rule]),
    )
    assert account(report) == {"set_aside": 1, "new": 1}
    assert list(historian.why("set aside")) == ["not ours"]


def test_a_wide_file_holds_what_it_does_not_know(historian: Historian) -> None:
    layout = wide_layout(status_suffix=" Q", words={"flag": {"Good": "good", "Bad": "fail"}},
                         set_aside=[{"column": "EVENT", "reason": "a remark"}])  # fmt: skip
    report = historian.load(
        "Time,TURB,TURB Q,PH,EVENT,TOC\n2026-05-04 08:00:00,0.021,Good,7.1,FALSE,0.5\n"
        "2026-05-04 08:01:00,0.022,Bad,,,NA\n",
        layout,
    )
    assert account(report) == {"empty": 3, "set_aside": 1, "held": 1, "new": 3, "flagged": 1}
    assert report.account.cells == 8
    assert historian.why() == {"the tag is not in analyzers.csv.": [2]}
    assert historian.in_force() == {
        ("TURB", at("2026-05-04 08:00")): (Decimal("0.021"), 1),
        ("TURB", at("2026-05-04 08:01")): (Decimal("0.022"), 4),
        ("TOC", at("2026-05-04 08:00")): (Decimal("0.5"), 2),
    }


def test_a_time_can_stand_in_two_columns(historian: Historian) -> None:
    layout = wide_layout(columns={"time": ["Day", "Time"]}, time={"zone": "UTC", "formats": ["%d.%m.%Y %H:%M"]})
    historian.load("Day,Time,TURB\n4.5.2026,8:05,1\n", layout)
    assert list(historian.in_force()) == [("TURB", at("2026-05-04 08:05"))]


def test_equal_twins_in_one_file_are_one_reading(historian: Historian) -> None:
    line = "2026-05-04 08:00:00,TURB,1.0,Good\n"
    assert account(historian.load(f"{HEADER}{line}{line}{line.replace('1.0', '1.00')}")) == {"new": 1, "duplicate": 2}
    assert historian.ask("SELECT line FROM reading") == [(2,)]


def test_different_twins_in_one_file_are_held_all_of_them(historian: Historian) -> None:
    first, other = "2026-05-04 08:00:00,TURB,1,Good\n", "2026-05-04 08:00:00,TURB,2,Good\n"
    assert account(historian.load(f"{HEADER}{first}{other}{first}")) == {"held": 3}
    assert list(historian.why().values()) == [[2, 3, 4]]


def test_a_better_status_decides_between_twins(historian: Historian) -> None:
    lines = "2026-05-04 08:00:00,TURB,1,Bad\n2026-05-04 08:00:00,TURB,2,Good\n2026-05-04 08:00:00,TURB,2,Doubt\n"
    assert account(historian.load(HEADER + lines)) == {"new": 1, "set_aside": 1, "duplicate": 1}
    assert list(historian.in_force().values()) == [(Decimal(2), 1)]


def test_the_same_file_again_brings_nothing_new(historian: Historian) -> None:
    text = f"{HEADER}2026-05-04 08:00:00,TURB,1,Good\n2026-05-04 08:01:00,TURB,1,Good\n"
    historian.load(text)
    assert account(historian.load(text)) == {"duplicate": 2}
    assert historian.faults() == []


def test_a_newer_report_replaces_the_older_one_and_keeps_it(historian: Historian) -> None:
    historian.load(f"{HEADER}2026-05-04 08:00:00,TURB,1,Good\n")
    assert account(historian.load(f"{HEADER}2026-05-04 08:00:00,TURB,2,Good\n")) == {"revision": 1}
    assert list(historian.in_force().values()) == [(Decimal(2), 1)]
    assert historian.ask("SELECT value, delivered_by, counts_to FROM reading_past") == [(Decimal(1), 1, 2)]
    assert historian.faults() == []


def test_an_old_file_again_does_not_undo_what_replaced_it(historian: Historian) -> None:
    old, new = (f"{HEADER}2026-05-04 08:00:00,TURB,{value},Good\n" for value in (1, 2))
    for text in (old, new):
        historian.load(text)
    assert account(historian.load(old)) == {"duplicate": 1}
    assert list(historian.in_force().values()) == [(Decimal(2), 1)]
    assert historian.faults() == []


def test_another_flag_is_another_report(historian: Historian) -> None:
    historian.load(f"{HEADER}2026-05-04 08:00:00,TURB,1,Good\n")
    assert account(historian.load(f"{HEADER}2026-05-04 08:00:00,TURB,1,Bad\n")) == {"revision": 1, "flagged": 1}


def test_a_time_to_come_is_flagged_and_kept(historian: Historian) -> None:
    report = historian.load(f"{HEADER}2027-01-01 00:00:00,TURB,1,Good\n")
    assert account(report) == {"new": 1, "flagged": 1}
    assert historian.ask("SELECT rule_id, cells, first_line FROM reading_finding") == [("reading_in_the_future", 1, 2)]


def test_the_order_of_lines_is_noted_and_does_not_matter(historian: Historian) -> None:
    historian.load(f"{HEADER}2026-05-04 08:01:00,TURB,2,Good\n2026-05-04 08:00:00,TURB,1,Good\n")
    assert historian.ask("SELECT value FROM reading") == [(Decimal(1),), (Decimal(2),)]
    assert historian.ask("SELECT rule_id, severity FROM reading_finding") == [("reading_out_of_order", "note")]


def test_a_dry_run_says_the_same_and_stores_nothing(historian: Historian) -> None:
    text = f"{HEADER}2026-05-04 08:00:00,TURB,1,Good\n2026-05-04 08:00:00,TURB,x,Good\n"
    rehearsed = historian.load(text, dry_run=True)
    assert (rehearsed.load_id, account(rehearsed)) == (None, {"new": 1, "held": 1})
    assert historian.ask("SELECT count(*) FROM reading") == [(0,)]
    assert list(historian.store.archive.iterdir()) == []
    assert historian.load(text).account == rehearsed.account


def test_the_file_is_archived_as_it_was_delivered(historian: Historian) -> None:
    content = f"\ufeff{HEADER}2026-05-04 08:00:00,TURB,1,Good".encode()
    historian.load(content)
    ((sha256, size),) = historian.ask("SELECT sha256, bytes FROM file")
    assert size == len(content)
    assert (historian.store.archive / sha256[:2] / sha256).read_bytes() == content


BODY = "2026-05-04 08:00:00,TURB,1,Good\n2026-05-04 08:01:00,TURB,2,Good\n"


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        (f"{HEADER}{BODY}", (0, 1, 0, 2)),
        (f"{HEADER}{BODY}".replace("\n", "\r\n"), (0, 1, 0, 2)),
        (f"{HEADER}{BODY}".rstrip("\n"), (0, 1, 0, 2)),
        (f"Made by night\n\n{HEADER}{BODY}", (2, 1, 0, 2)),
        (f"{HEADER}{BODY}\n\n", (0, 1, 2, 2)),
        (f"{HEADER}\n{BODY}", (0, 1, 1, 2)),
        (HEADER + BODY.replace("TURB", '"TURB"').replace("Good", '"Good"'), (0, 1, 0, 2)),
        (HEADER + BODY.replace("Good\n", "Good,\n"), (0, 1, 0, 2)),
        (HEADER + BODY.replace("Good\n", "Good\r\n", 1), (0, 1, 0, 2)),
        (HEADER + BODY.replace("Good", '"\nGood"', 1), (0, 1, 0, 3)),
    ],
)
def test_every_line_is_accounted_for(historian: Historian, text: str, lines: tuple[int, ...]) -> None:
    report = historian.load(text)
    assert account(report) == {"new": 2}
    found = report.lines
    assert (found.title, found.header, found.blank, found.data) == lines
    assert found.total == len(text.splitlines())


@pytest.mark.parametrize("block_bytes", [32, 64, 2**20])
def test_a_line_of_another_width_is_held_by_itself(historian: Historian, block_bytes: int) -> None:
    odd = "2026-05-04 08:02:00,TURB\n2026-05-04 08:03:00,TURB,4,Good,more\n"
    text = f"{HEADER}{BODY}{odd}2026-05-04 08:04:00,TURB,5,Good\n"
    report = historian.load(text, block_bytes=block_bytes)
    assert account(report) == {"new": 3, "held": 2}
    assert historian.why() == {
        "the line has 2 cells, the header 4.": [4], "the line has 5 cells, the header 4.": [5]
    }  # fmt: skip
    assert historian.ask("SELECT line FROM reading ORDER BY line") == [(2,), (3,), (6,)]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_the_encoding_is_found(make_historian: Callable[..., Historian], encoding: str) -> None:
    historian = make_historian(tags=TAGS.replace("FIN TURBIDITY", "Trübung"))
    report = historian.load(f"{HEADER}2026-05-04 08:00:00,Trübung,1,Good\n".encode(encoding), block_bytes=20)
    assert account(report) == {"new": 1}
    assert report.encoding == encoding


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b" \n", "the file is empty"),
        (b"time,tag\n1,2\n", "does not stand in the first 40 lines"),
        (f'{HEADER}2026-05-04 08:00:00,"TURB,1,Good\n'.encode(), "never closed"),
        (f"{HEADER}2026-05-04 08:00:00,TURB\x00,1,Good\n".encode(), "zero bytes"),
        (b"time,tag,value,status,tag\n1,2,3,4,5\n", 'the column "tag" stands there twice'),
    ],
)
def test_a_file_that_cannot_be_read_as_a_whole_leaves_nothing(historian: Historian, content: bytes, said: str) -> None:
    with pytest.raises(FileError, match=said):
        historian.load(content)
    assert historian.ask("SELECT count(*) FROM load") == [(0,)]
    assert list(historian.store.archive.iterdir()) == []


def test_held_cells_are_read_once_the_plant_folder_knows_them(historian: Historian) -> None:
    text = f"{HEADER}2026-05-04 08:00:00,PH,7.5,Good\n2026-05-04 08:00:00,TURB,1,Good\n"
    historian.load(text)
    historian.write_plant(TAGS + "PH,FIN,pH,,pH units,,0,14,,,60,,\n".replace(",,0,14", ",0,14"))
    assert account(historian.load(text)) == {"new": 1, "duplicate": 1}


def test_a_hundred_thousand_bad_cells_are_one_row_and_each_is_found(historian: Historian) -> None:
    text = HEADER + "2026-05-04 08:00:00,TURB,Bad Input,Good\n" * 100_000
    assert account(historian.load(text)) == {"held": 100_000}
    assert historian.ask("SELECT cells, len(lines), lines[1], lines[-1], example FROM reading_outcome") == [
        (100_000, 100_000, 2, 100_001, "Bad Input")
    ]
