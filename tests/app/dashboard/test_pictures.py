"""Pictures in tables say the same as their numbers, in shape and in words."""

import base64
import re
from fractions import Fraction
from xml.etree import ElementTree

import pytest

from app.dashboard.pictures import MID_TONES, Dot, Picture, Spark, dot_strip, margin_bar, sparkline
from app.words import Role

WIDTH = 120
LIMIT_AT = 80


def rectangles(picture: Picture) -> list[dict[str, str]]:
    return [rect.attrib for rect in ElementTree.fromstring(picture.svg).iter("{http://www.w3.org/2000/svg}rect")]


def bar(low: str, high: str, role: Role = Role.QUIET) -> Picture:
    return margin_bar(Fraction(low), Fraction(high), role, "in words")


def spark(low: str, high: str | None = None, *, beyond: bool = False, text: str = "") -> Spark:
    return Spark(Fraction(low), None if high is None else Fraction(high), beyond, text or low)


def test_a_known_share_is_solid_and_ends_at_its_place() -> None:
    (solid,) = rectangles(bar("0.5", "0.5"))
    assert solid["fill"] == MID_TONES[Role.QUIET]
    assert float(solid["width"]) == pytest.approx(LIMIT_AT / 2)


def test_what_lies_between_two_bounds_is_hollow() -> None:
    hollow, solid = rectangles(bar("0.25", "0.75"))
    assert hollow["fill"] == "none"
    assert float(solid["width"]) == pytest.approx(20)
    assert float(hollow["x"]) + float(hollow["width"]) == pytest.approx(60, abs=1)


def test_a_non_detect_is_hollow_from_zero() -> None:
    (hollow,) = rectangles(bar("0", "0.4"))
    assert hollow["fill"] == "none"


def test_an_open_verdict_is_never_drawn_solid() -> None:
    assert all(rect["fill"] == "none" for rect in rectangles(bar("0.3", "0.3", Role.OPEN)))


def test_a_bar_beyond_the_scale_ends_in_chevrons() -> None:
    assert "l2.5 2 -2.5 2" in bar("2", "2", Role.OVER).svg
    assert "l2.5 2 -2.5 2" not in bar("1.5", "1.5", Role.OVER).svg


def test_the_limit_is_a_stroke_at_one_hundred_percent_even_without_data() -> None:
    assert f"M{LIMIT_AT}.0 0V14" in margin_bar(None, None, Role.OPEN, "no data").svg


def test_the_words_stand_in_for_the_picture() -> None:
    shown = margin_bar(Fraction(1), Fraction(1), Role.OVER, "131 % [of] limit").markdown()
    assert shown.startswith(r"![131 % \[of\] limit](data:image/svg+xml;base64,")


def test_a_picture_is_drawn_without_any_request() -> None:
    address = bar("0.5", "0.5").address()
    svg = base64.b64decode(address.removeprefix("data:image/svg+xml;base64,")).decode()
    assert ElementTree.fromstring(svg).tag.endswith("svg")
    assert not re.search(r"href|url\(|<image|<script", svg)


def test_a_sparkline_shows_the_last_eight_with_their_values_in_words() -> None:
    picture = sparkline([spark(str(value), str(value)) for value in range(1, 11)], None, "µg/L")
    assert picture.svg.count("<circle") == 8
    assert picture.words == "last 8: 3; 4; 5; 6; 7; 8; 9; 10 µg/L"


def test_a_non_detect_on_a_sparkline_is_a_stroke_and_breaks_the_line() -> None:
    picture = sparkline([spark("3", "3"), spark("0", "1"), spark("4", "4")], None, "")
    assert picture.svg.count("<circle") == 2
    assert "stroke-opacity" not in picture.svg


def test_only_values_beyond_the_limit_are_red() -> None:
    picture = sparkline([spark("9", "9"), spark("11", "11", beyond=True)], Fraction(10), "")
    assert picture.svg.count(MID_TONES[Role.OVER]) == 1


def test_a_limit_far_above_the_values_is_left_out_of_a_sparkline() -> None:
    near = sparkline([spark("9", "9")], Fraction(10), "")
    far = sparkline([spark("1", "1")], Fraction(10), "")
    assert near.svg.count("stroke-opacity") == 1
    assert "stroke-opacity" not in far.svg


def test_no_results_is_said_in_words() -> None:
    assert sparkline([], Fraction(10), "mg/L").words == "no results"


def places(picture: Picture) -> list[float]:
    return [float(x) for x in re.findall(r'<circle cx="([\d.]+)"', picture.svg)]


@pytest.mark.parametrize("share", ["0.99", "0.999", "1.001", "1.01", "9"])
def test_a_dot_stands_on_the_side_of_the_limit_on_which_its_share_lies(share: str) -> None:
    limit_at = 6 + 308 * 2 / 3
    (x,) = places(dot_strip([Dot(Fraction(share), Role.QUIET)], "words"))
    assert (x > limit_at) == (Fraction(share) > 1)


def test_a_dot_exactly_at_the_limit_stands_on_its_line() -> None:
    assert places(dot_strip([Dot(Fraction(1), Role.WATCH)], "words")) == [pytest.approx(6 + 308 * 2 / 3, abs=0.1)]


def test_dots_at_one_place_stack_and_the_strip_grows() -> None:
    low = dot_strip([Dot(Fraction(1, 10), Role.QUIET)], "words")
    high = dot_strip([Dot(Fraction(1, 10), Role.QUIET)] * 9, "words")
    assert len(set(places(high))) == 1
    assert high.svg.count("<circle") == 9
    assert 'height="20"' in low.svg
    assert 'height="75"' in high.svg


def test_a_dot_with_nothing_detected_is_hollow() -> None:
    assert 'fill="none"' in dot_strip([Dot(Fraction(1, 10), Role.QUIET, hollow=True)], "words").svg
