"""The selectors that pages share. The address is their only memory: what is picked is written there and read back."""

from collections.abc import Callable, Sequence
from datetime import date
from typing import Final

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from app import figures, words
from app.dashboard import data
from pipeline.plant.tables import Limit
from pipeline.screening.model import Verdict
from pipeline.vocabulary import Outcome

EVERY: Final = "every limit"
ABOVE_OR_TRIGGERED: Final = "above or triggered"
WITHOUT_ANSWER: Final = "without an answer"
NEAR: Final = "near the limit"
MEETING: Final = "meeting the limit"

_SHOWN: Final = {
    ABOVE_OR_TRIGGERED: words.ABOVE | {Outcome.TRIGGER_REACHED},
    WITHOUT_ANSWER: words.UNANSWERED,
    NEAR: frozenset({Outcome.NEAR_LIMIT}),
    MEETING: frozenset({Outcome.MEETS}),
}

WORST_FIRST: Final = "worst first"
BY_NAME: Final = "analyte"
BY_SHARE: Final = "share of the limit"
FINISHED: Final = "finished water entry point"


def evaluation_date() -> date:
    """The day in the address, else the plant's today."""
    try:
        return date.fromisoformat(st.query_params.get("on", ""))
    except ValueError:
        return data.today()


def chosen_date() -> date | None:
    """The day in the address; ``None`` when the page shows today."""
    on = evaluation_date()
    return None if on == data.today() else on


def pick_date() -> date:
    """Let a person choose the day of evaluation."""
    st.session_state["pick on"] = evaluation_date()
    st.date_input("Evaluated on", format="YYYY-MM-DD", key="pick on", on_change=_write_date)
    return evaluation_date()


def pick(label: str, name: str, options: Sequence[str], show: Callable[[str], str] = str) -> str:
    """Let a person choose one of ``options``; the choice stands in the address as ``name``, the first one unsaid."""
    if not options:
        return ""
    labels = {option: show(option) for option in options}
    said = st.query_params.get(name, "")
    st.session_state[f"pick {name}"] = said if said in options else options[0]
    key = f"pick {name}"
    picked = st.selectbox(
        label, options, format_func=labels.__getitem__, key=key, on_change=_write, args=(name, options[0])
    )
    return str(picked)


def pick_shown(verdicts: Sequence[Verdict]) -> str:
    """Let a person choose which verdicts are listed."""
    kinds = sorted({kind_option(verdict.limit.kind) for verdict in verdicts})
    everything = f"All {figures.plural(len(verdicts), 'limit')}"
    return pick("Show", "show", [EVERY, *_SHOWN, *kinds], lambda option: _label(option, everything))


def pick_order() -> str:
    """Let a person choose the order of the list."""
    return pick("Order", "order", [WORST_FIRST, BY_SHARE, BY_NAME], figures.sentence)


def pick_point(verdicts: Sequence[Verdict]) -> str:
    """Let a person choose a sample point; points of the finished water come first."""
    return pick("Sample point", "point", in_order_of_the_water(verdicts), point_name)


def pick_verdict(verdicts: Sequence[Verdict], limit_slot: DeltaGenerator, point_slot: DeltaGenerator) -> Verdict:
    """Let a person choose a limit and a sample point; the worst verdict is shown when the address says nothing."""
    worst = words.worst_first(verdicts)[0]
    limits = {verdict.limit.limit_id: verdict.limit for verdict in verdicts}
    by_name = sorted(limits, key=lambda limit_id: (limits[limit_id].analyte.casefold(), limit_id))
    first = worst.limit.limit_id
    ordered_ids = [first, *(limit_id for limit_id in by_name if limit_id != first)]
    with limit_slot:
        limit_id = pick("Limit", "limit", ordered_ids, lambda one: limit_name(limits[one]))
    there = [verdict for verdict in verdicts if verdict.limit.limit_id == limit_id]
    points = [worst.sample_point] if limit_id == first else []
    points += [code for code in in_order_of_the_water(there) if code not in points]
    with point_slot:
        point = pick("Sample point", "point", points, point_name)
    return next(verdict for verdict in there if verdict.sample_point == point)


def load_in_address(loads: Sequence[data.Load]) -> data.Load:
    """The load that the address names, else the newest; ``loads`` is not empty."""
    said = st.query_params.get("load", "")
    return next((load for load in loads if str(load.load_id) == said), loads[0])


def in_order_of_the_water(verdicts: Sequence[Verdict]) -> list[str]:
    """Sample points that have verdicts: finished water first, then in the order in which the water passes them."""
    known = data.plant().sample_points
    place = {code: (known[code].place != FINISHED, number) for number, code in enumerate(known)}
    return sorted({verdict.sample_point for verdict in verdicts}, key=lambda code: place.get(code, (True, len(known))))


def point_name(code: str) -> str:
    """The name of a sample point, else its code."""
    point = data.plant().sample_points.get(code)
    return point.name if point and point.name else code


def point_phrase(code: str) -> str:
    """Where a sample point is, as the end of a sentence."""
    point = data.plant().sample_points.get(code)
    return "in the finished water" if point and point.place == FINISHED else f"at {point_name(code)}"


def limit_name(limit: Limit) -> str:
    """A limit as a person would name it: ``Bromate, primary, 10 µg/L``."""
    return ", ".join(part for part in (limit.analyte, limit.kind, figures.limit_text(limit)) if part)


def kind_option(kind: str) -> str:
    """The option that shows the limits of one kind."""
    return f"kind: {kind}"


def shown(verdicts: Sequence[Verdict], option: str) -> list[Verdict]:
    """The verdicts that an option of :func:`pick_shown` lists."""
    if option in _SHOWN:
        return [verdict for verdict in verdicts if verdict.outcome in _SHOWN[option]]
    if option == EVERY:
        return list(verdicts)
    return [verdict for verdict in verdicts if kind_option(verdict.limit.kind) == option]


def ordered(verdicts: Sequence[Verdict], order: str) -> list[Verdict]:
    """Verdicts in the order that an option of :func:`pick_order` asks for."""
    if order == BY_NAME:
        return sorted(verdicts, key=lambda verdict: verdict.limit.analyte.casefold())
    if order == BY_SHARE:
        return sorted(verdicts, key=lambda verdict: -(verdict.share_high if verdict.share_high is not None else -1))
    return words.worst_first(verdicts)


def of_finished_water(verdicts: Sequence[Verdict]) -> list[Verdict]:
    """Verdicts at the points where finished water leaves the plant."""
    points = data.plant().sample_points
    return [
        verdict
        for verdict in verdicts
        if verdict.sample_point in points and points[verdict.sample_point].place == FINISHED
    ]


def statistic_words(verdict: Verdict) -> str:
    """Kind and statistic of a limit as one phrase: ``Primary, running annual average``."""
    return figures.sentence(f"{verdict.limit.kind}, {words.statistic(verdict)}")


def _label(option: str, everything: str) -> str:
    if option == EVERY:
        return everything
    return figures.sentence(option.removeprefix("kind: ") + " limits" if option.startswith("kind: ") else option)


def _write(name: str, unsaid: str) -> None:
    picked = st.session_state[f"pick {name}"]
    if picked == unsaid:
        st.query_params.pop(name, None)
    else:
        st.query_params[name] = picked


def _write_date() -> None:
    picked = st.session_state["pick on"]
    if isinstance(picked, date) and picked != data.today():
        st.query_params["on"] = picked.isoformat()
    else:
        st.query_params.pop("on", None)
