"""Every outcome's symbol, words and color role, and the Markdown in which pages write them.

The symbols are plain Unicode that the bundled text font holds, so that a terminal, a workbook and a PDF can show the
same ones. Color never stands alone: it comes with the symbol and the words.
"""

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from pipeline.screening.model import Verdict
from pipeline.vocabulary import Outcome


class Role(StrEnum):
    """What a color is for; the colors themselves are in ``.streamlit/config.toml``, in this order."""

    DATA = "data"
    OVER = "over"
    WATCH = "watch"
    OPEN = "open"
    QUIET = "quiet"
    INK = "ink"
    FAINT = "faint"
    FAINTER = "fainter"
    MUTED = "muted"
    PAPER = "paper"


@dataclass(frozen=True, slots=True)
class Mark:
    """How one outcome is shown: symbol, Markdown text color, and the role of its picture."""

    symbol: str
    text_color: str
    role: Role


MARKS: Final = {
    Outcome.EXCEEDS: Mark("■", "red", Role.OVER),
    Outcome.REJECTION_CLAIMED: Mark("■", "red", Role.OVER),
    Outcome.ABOVE_NOT_YET: Mark("□", "red", Role.OVER),
    Outcome.TRIGGER_REACHED: Mark("◆", "yellow", Role.WATCH),
    Outcome.CANNOT_DETERMINE: Mark("?", "violet", Role.OPEN),
    Outcome.NO_DATA: Mark("–", "violet", Role.OPEN),
    Outcome.NOT_ENOUGH_DATA: Mark("…", "violet", Role.OPEN),
    Outcome.NEAR_LIMIT: Mark("◊", "yellow", Role.WATCH),
    Outcome.MEETS: Mark("✓", "gray", Role.QUIET),
    Outcome.INFORMATION: Mark("i", "gray", Role.QUIET),
}

WORST_FIRST: Final = {outcome: place for place, outcome in enumerate(Outcome)}

EXCEEDING: Final = frozenset({Outcome.EXCEEDS, Outcome.REJECTION_CLAIMED})
ABOVE: Final = EXCEEDING | {Outcome.ABOVE_NOT_YET}
UNANSWERED: Final = frozenset({Outcome.CANNOT_DETERMINE, Outcome.NO_DATA, Outcome.NOT_ENOUGH_DATA})
_SHORT: Final = {
    "running annual average of quarter means": "running annual average",
    "running annual average of monthly means": "running annual average",
    "percentile 90 by rank": "90th percentile",
    "single value": "single result",
}
JUDGED: Final = frozenset(Outcome) - {Outcome.INFORMATION}

# The one block of solid color in the product, the same in both themes: white on it has a contrast of 6.6 to 1.
ACT_NOW: Final = ':color[**! act now**]{foreground="#FFFFFF" background="#B3243F"}'

_SPECIAL = re.compile(r"([\\`*_{}\[\]()<>#+\-.!|~$:&^=])")
_BREAKS = re.compile(r"[\r\n\t\v\f]+")
# Escapes do not stop what works on finished text: arrows and dashes made of "<-" and "--", and links made of addresses.
_MADE_INTO_SIGNS = re.compile(
    r"(?<=[<>~-])(?=[-=>])|(?<=:)(?=//)|(?<=www)(?=\.)|(?<=@)|(?<=material)(?=/)|(?<=:)(?=streamlit:)"
)
_NO_BREAK = "\N{NO-BREAK SPACE}"
_WORD_JOINER = "\N{WORD JOINER}"


def plain(text: str) -> str:
    r"""Text from a file or a folder, escaped so that Markdown shows it letter by letter and loads nothing.

    >>> print(plain("![x](y) a_b"))
    \!\[x\]\(y\) a\_b
    """
    kept_apart = _MADE_INTO_SIGNS.sub(_WORD_JOINER, _BREAKS.sub(" ", text))
    return _SPECIAL.sub(r"\\\1", kept_apart)


def outcome_markdown(outcome: Outcome) -> str:
    """Symbol and words of an outcome in its color.

    >>> outcome_markdown(Outcome.EXCEEDS)
    ':red[**■** exceeds]'
    """
    mark = MARKS[outcome]
    return f":{mark.text_color}[**{mark.symbol}** {outcome.value}]"


def symbol_markdown(outcome: Outcome) -> str:
    """The symbol of an outcome alone, in its color, for a place whose words stand beside it."""
    mark = MARKS[outcome]
    return f":{mark.text_color}[**{mark.symbol}**]"


def statistic(verdict: Verdict) -> str:
    """The statistic that was compared, in as few words as tell it apart on a page."""
    return short_statistic(verdict.statistic_name or verdict.limit.statistic)


def short_statistic(name: str) -> str:
    """What each period is averaged from stands in the arithmetic; a title or a column needs the name alone."""
    return _SHORT.get(name, name)


def verdict_markdown(verdict: Verdict) -> str:
    """The outcome of a verdict, with ``act now`` before it where the analyte is acute."""
    words = outcome_markdown(verdict.outcome)
    return f"{ACT_NOW} {words}" if verdict.act_now else words


def counts_markdown(outcomes: Iterable[Outcome]) -> str:
    """One line that counts every outcome that occurs, worst first.

    >>> counts_markdown([Outcome.MEETS, Outcome.EXCEEDS, Outcome.MEETS]).replace("\N{NO-BREAK SPACE}", " ")
    ':red[**■ 1** exceeds] · :gray[**✓ 2** meets]'
    """
    counted = Counter(outcomes)
    return " · ".join(
        f":{mark.text_color}[**{mark.symbol}{_NO_BREAK}{counted[outcome]:,}**{_NO_BREAK}{outcome.value}]"
        for outcome, mark in MARKS.items()
        if counted[outcome]
    )


def worst_first(verdicts: Iterable[Verdict]) -> list[Verdict]:
    """Verdicts in the order in which a person should read them.

    ``act now`` first, then by outcome, then by the share of the limit that is used, largest first.
    """
    return sorted(
        verdicts,
        key=lambda verdict: (
            not verdict.act_now,
            WORST_FIRST[verdict.outcome],
            -(verdict.share_high if verdict.share_high is not None else -1),
            verdict.limit.analyte.casefold(),
            verdict.limit.limit_id,
        ),
    )
