"""Verdicts as rows to read: the table of finished water, and the strips of the first page."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from datetime import date
from fractions import Fraction
from typing import Final

import pandas as pd  # type: ignore[import-untyped]

from app import figures, words
from app.dashboard import controls, links, pictures
from app.dashboard.pictures import Dot, Picture, Spark
from pipeline.screening.model import Verdict
from pipeline.vocabulary import Outcome, ValueKind

LONGEST_ACTION: Final = 28
MOST_NAMES: Final = 4

# As long as the picture beneath it, and unbroken: a picture shrinks to the width of its column.
BAR_HEADER: Final = "0 to 150 % (line: limit)".replace(" ", figures.NO_BREAK)
SPARK_HEADER: Final = "Last 8 results".replace(" ", figures.NO_BREAK)
STRIP_HEADER: Final = "Limit used, 0 to 150 % (line: the limit)".replace(" ", figures.NO_BREAK)

# From the federal rules that bind, over what a state asks, to what a plant sets itself.
KINDS: Final = (
    "primary",
    "treatment technique",
    "disinfectant residual maximum",
    "action level",
    "trigger level",
    "permit",
    "reuse criterion",
    "response level",
    "notification level",
    "secondary",
    "operating rule",
    "internal goal",
    "goal",
)


def finished_water(
    verdicts: Sequence[Verdict], on: date | None, sparks_of: Callable[[Verdict], Sequence[Spark]]
) -> pd.DataFrame:
    """One row a verdict, in the order given, as Markdown cells under the analyte's name as index."""
    rows = [_row(verdict, sparks_of(verdict)) for verdict in verdicts]
    table = pd.DataFrame(rows, columns=list(_COLUMNS))
    table["% of limit"] = figures.right_aligned(table["% of limit"].tolist())
    table.index = pd.Index([analyte_link(verdict, on) for verdict in verdicts], name="Analyte")
    return table


_COLUMNS: Final = (
    "Verdict",
    "% of limit",
    BAR_HEADER,
    "Result",
    "Limit",
    "Kind and statistic",
    SPARK_HEADER,
    "Next action",
)


def _row(verdict: Verdict, sparks: Sequence[Spark]) -> dict[str, str]:
    limit = verdict.limit
    scale = None if limit.value is None else Fraction(limit.value)
    values = (
        words.verdict_markdown(verdict),
        figures.percent(verdict.share_low, verdict.share_high),
        bar(verdict).markdown(),
        words.plain(figures.statistic(verdict)),
        words.plain(figures.limit_text(limit)),
        words.plain(controls.statistic_words(verdict)),
        pictures.sparkline(sparks, scale, figures.unit_text(limit.unit)).markdown() if sparks else "",
        words.plain(shortened(verdict.next_action)),
    )
    return dict(zip(_COLUMNS, values, strict=True))


def bar(verdict: Verdict) -> Picture:
    """The margin bar of a verdict."""
    share = figures.percent(verdict.share_low, verdict.share_high)
    spoken = f"{share} of limit, {verdict.outcome.value}" if share else verdict.outcome.value
    return pictures.margin_bar(verdict.share_low, verdict.share_high, words.MARKS[verdict.outcome].role, spoken)


def analyte_link(verdict: Verdict, on: date | None) -> str:
    """The analyte's name, leading to the page that unfolds this verdict."""
    return links.markdown(verdict.limit.analyte, links.ANALYTE, analyte_parameters(verdict, on))


def analyte_parameters(verdict: Verdict, on: date | None) -> dict[str, str]:
    """What the address of the analyte's page says."""
    return links.parameters(on, limit=verdict.limit.limit_id, point=verdict.sample_point)


def by_kind(verdicts: Sequence[Verdict], on: date | None) -> pd.DataFrame:
    """One row a kind of limit: how many, how much of each is used, and the names of those above or triggered."""
    grouped: defaultdict[str, list[Verdict]] = defaultdict(list)
    for verdict in verdicts:
        if verdict.outcome in words.JUDGED:
            grouped[verdict.limit.kind].append(verdict)
    rows = [_kind_row(kind, words.worst_first(grouped[kind]), on) for kind in sorted(grouped, key=_kind_place)]
    return pd.DataFrame(rows, columns=["Limits", "Number", STRIP_HEADER, "Above or triggered"])


def _kind_row(kind: str, verdicts: Sequence[Verdict], on: date | None) -> dict[str, str]:
    shown = links.parameters(on, show=controls.kind_option(kind))
    return {
        "Limits": links.markdown(figures.sentence(kind), links.FINISHED_WATER, shown),
        "Number": figures.whole(len(verdicts)),
        STRIP_HEADER: strip(verdicts).markdown(),
        "Above or triggered": _names(verdicts, on) or ":gray[none]",
    }


def strip(verdicts: Sequence[Verdict]) -> Picture:
    """One dot a limit with a number; in words, how many stand where."""
    dots = [
        Dot(verdict.share_high, words.MARKS[verdict.outcome].role, hollow=_unproven(verdict))
        for verdict in verdicts
        if verdict.share_high is not None
    ]
    without = len(verdicts) - len(dots)
    above = sum(dot.share > 1 for dot in dots)
    spoken = f"{figures.plural(len(verdicts), 'limit')}: {len(dots) - above} used to 100 % or less, {above} to more"
    return pictures.dot_strip(dots, f"{spoken}, {without} without a number" if without else spoken)


def _names(verdicts: Sequence[Verdict], on: date | None) -> str:
    marked = [one for one in verdicts if one.outcome in words.ABOVE or one.outcome is Outcome.TRIGGER_REACHED]
    names = [f"{words.symbol_markdown(one.outcome)} {analyte_link(one, on)}" for one in marked[:MOST_NAMES]]
    more = f" and {len(marked) - MOST_NAMES} more" if len(marked) > MOST_NAMES else ""
    return ", ".join(names) + more


def _unproven(verdict: Verdict) -> bool:
    """Whether nothing behind the number was measured above detection, or the number is only a bound."""
    if verdict.outcome in words.UNANSWERED:
        return True
    return bool(verdict.used) and all(used.result.kind == ValueKind.BELOW for used in verdict.used)


def _kind_place(kind: str) -> tuple[int, str]:
    return (KINDS.index(kind) if kind in KINDS else len(KINDS), kind)


def shortened(action: str, longest: int = LONGEST_ACTION) -> str:
    """An action cut at a word for a narrow column; the page of the analyte has all of it.

    >>> shortened("draw confirmation within 24 hours of the result")
    'draw confirmation within 24…'
    """
    if len(action) <= longest:
        return action
    cut = action[:longest].rsplit(" ", 1)[0].rstrip(",;: ")
    return f"{cut}…"
