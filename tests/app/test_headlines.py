"""The first line of a page is the worst fact it has to tell, and never a better one."""

import pytest

from app import figures, headlines
from pipeline.vocabulary import Outcome

MEETS = [Outcome.MEETS] * 58
WATER = "in the finished water"


def spaced(text: str) -> str:
    return text.replace(figures.NO_BREAK, " ")


@pytest.mark.parametrize(
    ("outcomes", "held", "title"),
    [
        ([*MEETS, *[Outcome.EXCEEDS] * 3], 41, "Three limits are exceeded. 41 cells are held."),
        ([*MEETS, Outcome.EXCEEDS], 0, "One limit is exceeded."),
        ([*MEETS, Outcome.REJECTION_CLAIMED], 0, "One limit is exceeded."),
        ([*MEETS, Outcome.ABOVE_NOT_YET], 0, "One value is above the number."),
        (
            [*MEETS, Outcome.CANNOT_DETERMINE],
            1,
            "No limit is exceeded. One of 59 cannot be answered yet; 1 cell is held.",
        ),
        ([Outcome.NO_DATA] * 9, 0, "No limit can be judged yet."),
        (MEETS, 0, "No limit is exceeded."),
        ([], 0, "Nothing needs a person today."),
    ],
)
def test_today_tells_the_worst_first(verdict, outcomes: list[Outcome], held: int, title: str) -> None:
    assert headlines.today([verdict(outcome) for outcome in outcomes], held) == title


def test_what_is_acute_comes_before_everything(verdict, limit) -> None:
    nitrate = verdict(Outcome.ABOVE_NOT_YET, "1.08", limit=limit(analyte="Nitrate"), act_now=True)
    title = headlines.today([verdict(Outcome.EXCEEDS, "2"), nitrate], 0)
    assert title == "Nitrate needs a person now. One limit is exceeded."


def test_limits_for_information_answer_no_question(verdict) -> None:
    outcomes = [*MEETS, Outcome.INFORMATION, Outcome.INFORMATION]
    assert headlines.inside_every_limit([verdict(one) for one in outcomes]).endswith("Yes, all 58.")


@pytest.mark.parametrize(
    ("outcome", "answer"),
    [
        (Outcome.EXCEEDS, "No: 1 of 59 exceeds."),
        (Outcome.ABOVE_NOT_YET, "Not certain: 1 of 59 above the number."),
        (Outcome.NOT_ENOUGH_DATA, "Not certain: 1 of 59 without an answer."),
        (Outcome.NEAR_LIMIT, "Yes, all 59."),
    ],
)
def test_yes_is_said_only_when_every_limit_has_an_answer(verdict, outcome: Outcome, answer: str) -> None:
    assert headlines.inside_every_limit([verdict(one) for one in [*MEETS, outcome]]).endswith(answer)


def test_finished_water_counts_what_is_exceeded(verdict) -> None:
    some = [verdict(one) for one in [*MEETS, *[Outcome.EXCEEDS] * 3]]
    assert headlines.finished_water(some, WATER) == "Three of 61 limits are exceeded in the finished water"


def test_finished_water_does_not_say_that_all_is_well_while_one_is_open(verdict) -> None:
    some = [verdict(one) for one in [*MEETS, Outcome.NO_DATA]]
    assert headlines.finished_water(some, WATER) == (
        "No limit is exceeded in the finished water; one of 59 limits cannot be answered yet"
    )


def test_an_analyte_is_named_with_its_number_and_its_limit(verdict) -> None:
    near = verdict(Outcome.NEAR_LIMIT, "0.879")
    assert spaced(headlines.analyte(near)) == "Bromate is near its limit: 8.8 of 10 µg/L"


@pytest.mark.parametrize("outcome", list(Outcome))
def test_every_outcome_has_a_title(verdict, outcome: Outcome) -> None:
    assert headlines.analyte(verdict(outcome, None)).startswith("Bromate ")
