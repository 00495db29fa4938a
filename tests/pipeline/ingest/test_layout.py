"""Layouts: what may stand in one, and which of several is chosen for a file."""

from pathlib import Path

import pytest

from pipeline.errors import LayoutError, PlantRowError
from pipeline.ingest.layout import TARGETS, Layout
from pipeline.ingest.layout_files import plant_layouts, read_layout, shipped_layouts
from pipeline.ingest.recognition import choose_layout
from pipeline.ingest.source import SourceFile, decode_source
from tests.narrow_files import narrow_file

MINIMAL = """
name = "ours"
signature = ["Site", "Test"]
[columns]
point = "Site"
analyte = "Test"
value = "Found"
unit = "Unit"
collected = ["Day", "Hour"]
"""


def layout(*, name: str = "ours", signature: str = '["Site", "Test"]', head: str = "", tail: str = "") -> Layout:
    text = MINIMAL.replace('"ours"', f'"{name}"').replace('["Site", "Test"]', signature)
    return read_layout("ours.toml", head + text + tail)


def file(header: str) -> SourceFile:
    return decode_source("june.csv", f"{header}\n".encode())


def test_a_column_may_be_joined_from_several() -> None:
    assert layout().columns["collected"] == ("Day", "Hour")
    assert layout().columns["point"] == ("Site",)


@pytest.mark.parametrize("header", ["Site,Test,Found", " site ,TEST", "Found,Test,Unit,Site"])
def test_a_header_is_recognised_whatever_its_case_blanks_and_order(header: str) -> None:
    assert choose_layout(file(header), [layout()]).name == "ours"


def test_the_longest_signature_wins() -> None:
    particular = layout(name="particular", signature='["Site", "Test", "Unit"]')
    assert choose_layout(file("Site,Test,Unit"), [layout(), particular]).name == "particular"
    assert choose_layout(file("Site,Test"), [layout(), particular]).name == "ours"


def test_a_tie_is_not_decided_by_chance() -> None:
    with pytest.raises(LayoutError, match='"ours" and "theirs" fit equally well') as raised:
        choose_layout(file("Site,Test"), [layout(), layout(name="theirs")])
    assert "--layout" in raised.value.remedy


def test_an_unknown_header_is_said_to_be_unknown() -> None:
    with pytest.raises(LayoutError, match="no layout knows this header") as raised:
        choose_layout(file("alpha,beta"), [layout()])
    assert str(raised.value.place) == "june.csv, line 1"


@pytest.mark.parametrize(("delimiter", "word"), [(";", "semicolons"), ("\t", "tabs"), ("|", "bars")])
def test_another_delimiter_is_named(delimiter: str, word: str) -> None:
    with pytest.raises(LayoutError, match=f"separated by {word}"):
        choose_layout(file(delimiter.join(["Site", "Test", "Found"])), [layout()])


def test_a_layout_may_have_another_delimiter() -> None:
    assert choose_layout(file("Site;Test"), [layout(head='delimiter = ";"')]).name == "ours"


def test_blank_lines_before_the_header_do_not_hide_it() -> None:
    assert choose_layout(file("\n\nSite,Test"), [layout()]).name == "ours"


@pytest.mark.parametrize(
    ("spoiled", "said"),
    [
        (MINIMAL + 'colour = "C"', "unknown column colour; known are analyte, analyzed"),
        (MINIMAL.replace('unit = "Unit"', ""), "does not say which column holds unit"),
        (MINIMAL.replace('point = "Site"', "").replace('analyte = "Test"', ""), "holds point, analyte"),
        (MINIMAL.replace('"Found"', "[]"), "columns.value"),
        (MINIMAL.replace('value = "Found"', "") + '[constants]\nvalue = "1"', "holds value"),
        (MINIMAL.replace('["Site", "Test"]', '["Site"]'), "signature"),
        ('columns = "Site"\nname = "ours"\nsignature = ["Site", "Test"]', "columns"),
        ('delimiter = ", "' + MINIMAL, "delimiter"),
        (MINIMAL + '[words.sample_type]\n"Grab" = "routine"', "words.sample_type"),
        (MINIMAL + '[words.status]\n"ok" = "fine"', "words.status"),
        (MINIMAL + '[words]\nstatus = "fine"', "words.status"),
        (MINIMAL + '[[set_aside]]\ncolumn = "Site"', "set_aside.0.reason"),
        (MINIMAL + '[[set_aside]]\ncolumn = "Site"\nreason = "x"', "does not say which texts it means"),
        (MINIMAL + '[[reporting_limits]]\nanalyte = "Iron"\nvalue = "low"\nunit = "mg/L"', "reporting_limits.0.value"),
        (MINIMAL + 2 * '[[reporting_limits]]\nanalyte = "Iron"\nvalue = 1\nunit = "mg/L"\n', "two limits"),
        ("name = ", "is not valid TOML"),
    ],
)
def test_a_layout_that_cannot_be_used_says_why(spoiled: str, said: str) -> None:
    with pytest.raises(PlantRowError) as raised:
        read_layout("layouts/ours.toml", spoiled)
    assert said in str(raised.value)
    assert str(raised.value).startswith("layouts/ours.toml")
    assert raised.value.remedy


def test_a_constant_stands_in_for_a_column() -> None:
    fixed = MINIMAL.replace('unit = "Unit"', "") + '[constants]\nunit = "mg/L"'
    assert read_layout("ours.toml", fixed).constants == {"unit": "mg/L"}


def test_words_are_compared_without_case_and_outer_blanks() -> None:
    grab = layout(tail='[words.sample_type]\n" Grab  Sample " = "sample, routine"')
    assert grab.words.sample_type == {"grab sample": "sample, routine"}


def test_every_shipped_layout_is_sound_and_none_hides_another() -> None:
    shipped = shipped_layouts()
    assert {"narrow.toml", "wqx_2.toml", "wqx_3.toml"} <= set(shipped)
    for own in shipped.values():
        assert choose_layout(file(",".join(f'"{name}"' for name in own.signature)), shipped.values()) is own


def test_our_own_layout_fills_every_target_but_three() -> None:
    # The sender is the laboratory; a condition is WQX's way; its limits are in the unit of the value.
    assert TARGETS - shipped_layouts()["narrow.toml"].columns.keys() == {"sender", "condition", "limit_unit"}


def test_our_own_file_is_recognised_by_our_own_layout() -> None:
    source = decode_source("may.csv", narrow_file())
    assert choose_layout(source, shipped_layouts().values()).name == "barrierbook narrow"


def test_the_layouts_of_a_plant_are_read_by_file_name(tmp_path: Path) -> None:
    (tmp_path / "layouts").mkdir()
    (tmp_path / "layouts" / "north.toml").write_text(MINIMAL)
    (tmp_path / "layouts" / "note.txt").write_text("not a layout")
    assert list(plant_layouts(tmp_path, [])) == ["north.toml"]
    assert plant_layouts(tmp_path / "layouts", []) == {}


@pytest.mark.parametrize(
    ("head", "tail", "said"),
    [
        ('delimiter = "ab"\n', "", "not one separating character"),
        ('encoding = "klingon"\n', "", "not known"),
        ('encoding = "rot13"\n', "", "not known"),
        ('headerless = { names = ["a", "b"], first_cell = "x" }\n', "", "has no signature"),
        ("", '[patterns]\nvalue = "x"', "one pair of parentheses"),
        ("", '[patterns]\nvalue = "(x"', "not a pattern"),
        ("", '[patterns]\ncolour = "(x)"', "unknown column colour"),
        ("", '[words.limit_kind]\n"LOD" = "limit"', "words.limit_kind"),
        ("", '[numbers]\ndecimal = ";"', "numbers.decimal"),
        ("", '[times]\norder = "american"', "times.order"),
        ('end = "note"\n', "", "end"),
    ],
)
def test_a_key_that_cannot_be_meant_is_named(head: str, tail: str, said: str) -> None:
    with pytest.raises(PlantRowError, match=said):
        layout(head=head, tail=tail)


def test_a_file_without_a_header_names_each_column_once() -> None:
    headerless = 'headerless = { names = ["Site", "site"], first_cell = "x" }\n'
    with pytest.raises(PlantRowError, match="a name of its own"):
        layout(head=headerless, signature="[]")
