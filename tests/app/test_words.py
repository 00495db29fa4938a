"""Every outcome has its own symbol, words and color, and text from files can never act as Markdown."""

import pytest

from app import words
from pipeline.vocabulary import Outcome


def test_every_outcome_has_a_mark() -> None:
    assert set(words.MARKS) == set(Outcome)


def test_only_the_two_forms_of_exceeds_share_a_symbol() -> None:
    symbols = [mark.symbol for outcome, mark in words.MARKS.items() if outcome != Outcome.REJECTION_CLAIMED]
    assert len(set(symbols)) == len(symbols)
    assert words.MARKS[Outcome.REJECTION_CLAIMED].symbol == words.MARKS[Outcome.EXCEEDS].symbol


@pytest.mark.parametrize("outcome", list(Outcome))
def test_color_never_stands_without_symbol_and_words(outcome: Outcome) -> None:
    shown = words.outcome_markdown(outcome)
    assert words.MARKS[outcome].symbol in shown
    assert outcome.value in shown


def test_act_now_comes_before_the_outcome(verdict) -> None:
    shown = words.verdict_markdown(verdict(Outcome.ABOVE_NOT_YET, "1.08", act_now=True))
    assert shown.index("act now") < shown.index("above the number")


def test_counts_leave_out_what_does_not_occur() -> None:
    line = words.counts_markdown([Outcome.MEETS] * 46 + [Outcome.EXCEEDS])
    assert line.replace("\N{NO-BREAK SPACE}", " ") == ":red[**■ 1** exceeds] · :gray[**✓ 46** meets]"


def test_act_now_sorts_above_a_worse_outcome(verdict) -> None:
    exceeds, acute = verdict(Outcome.EXCEEDS, "3"), verdict(Outcome.ABOVE_NOT_YET, "1.1", act_now=True)
    assert words.worst_first([exceeds, acute]) == [acute, exceeds]


def test_within_one_outcome_the_larger_share_comes_first(verdict) -> None:
    low, high, unknown = verdict(share="0.1"), verdict(share="0.7"), verdict(share=None)
    assert words.worst_first([unknown, low, high]) == [high, low, unknown]


@pytest.mark.parametrize("mark", list("\\`*_{}[]()<>#+-.!|~$:&^="))
def test_every_character_with_a_meaning_in_markdown_is_escaped(mark: str) -> None:
    assert words.plain(f"a{mark}b") == f"a\\{mark}b"


def test_a_line_break_in_a_name_cannot_end_a_table_row() -> None:
    assert words.plain("a\r\nb") == "a b"


@pytest.mark.parametrize(
    "text", ["http://a.b", "www.a.b", "a--b", "a<-b", "a->b", "me@a.b", ":material/home:", ":streamlit:"]
)
def test_text_that_would_turn_into_a_sign_or_a_link_is_kept_apart(text: str) -> None:
    shown = words.plain(text)
    assert "\N{WORD JOINER}" in shown
    assert shown.replace("\N{WORD JOINER}", "").replace("\\", "") == text
