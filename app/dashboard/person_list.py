"""What needs a person today, most urgent first; every line leads to where it is dealt with."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

import streamlit as st

from app import due_rows, figures, headlines, words
from app.dashboard import controls, data, links, verdict_rows
from app.held_cells import Held, number_of_cells
from pipeline.due.model import Due, DueState
from pipeline.screening.model import Verdict
from pipeline.vocabulary import Outcome

MOST_ACT_NOW: Final = 5
LONGEST_ACTION: Final = 48


@dataclass(frozen=True, slots=True)
class Entry:
    """One line: what it says in Markdown, how many things it stands for, and where it leads."""

    label: str
    things: int
    page: str
    parameters: dict[str, str]


def entries(
    verdicts: Sequence[Verdict], held: Sequence[Held], on: date, chosen: date | None, dues: Sequence[Due] = ()
) -> list[Entry]:
    """Every line that has something to say."""
    judged = words.worst_first(headlines.judged_only(verdicts))
    acute = [verdict for verdict in judged if verdict.act_now]
    rest = [verdict for verdict in judged if not verdict.act_now]
    lines = [_act_now(verdict, chosen) for verdict in acute[:MOST_ACT_NOW]]
    if len(acute) > MOST_ACT_NOW:
        more = len(acute) - MOST_ACT_NOW
        label = f"{words.ACT_NOW} and {more} more"
        above = links.parameters(chosen, show=controls.ABOVE_OR_TRIGGERED)
        lines.append(Entry(label, more, links.FINISHED_WATER, above))
    lines += _by_outcome(rest, chosen)
    lines += _due_now(dues, chosen)
    if held:
        lines.append(_held(held, on))
    return lines + _this_week(dues, on, chosen)


def heading(lines: Sequence[Entry]) -> str:
    """The question with its answer."""
    things = sum(line.things for line in lines)
    return f"What needs a person today? {figures.plural(things, 'thing') if things else 'Nothing'}."


def write(lines: Sequence[Entry], next_due: date | None = None) -> None:
    """The lines as links that stay in the tab; without any, that all is well and when the next sample is due."""
    with st.container(gap="xsmall"):
        for line in lines:
            links.page_link(line.label, line.page, line.parameters)
    if not lines:
        st.markdown(f"Nothing needs a person today. {due_rows.next_sample(next_due)}".strip())
        st.markdown("Every limit that can be judged is met, no cell is held, and no sample is overdue.")


def _act_now(verdict: Verdict, chosen: date | None) -> Entry:
    limit = verdict.limit
    number = figures.limit_text(limit)
    what = f"{limit.analyte} {'beyond ' + number if number else 'at its limit'}"
    action = f": {verdict_rows.shortened(verdict.next_action, LONGEST_ACTION)}" if verdict.next_action else ""
    label = f"{words.ACT_NOW} {words.plain(what + action)}"
    return Entry(label, 1, links.ANALYTE, verdict_rows.analyte_parameters(verdict, chosen))


def _by_outcome(verdicts: Sequence[Verdict], chosen: date | None) -> list[Entry]:
    exceeding = [verdict for verdict in verdicts if verdict.outcome in words.EXCEEDING]
    above = [verdict for verdict in verdicts if verdict.outcome is Outcome.ABOVE_NOT_YET]
    triggered = [verdict for verdict in verdicts if verdict.outcome is Outcome.TRIGGER_REACHED]
    unknown = [verdict for verdict in verdicts if verdict.outcome is Outcome.CANNOT_DETERMINE]
    since = sorted(verdict.since for verdict in exceeding if verdict.since)
    oldest = f", oldest since {figures.short_day(since[0])}" if since else ""
    listed = (
        (exceeding, Outcome.EXCEEDS, f"limit{'' if len(exceeding) == 1 else 's'} exceeded{oldest}"),
        (above, Outcome.ABOVE_NOT_YET, "above the number, not yet an exceedance"),
        (triggered, Outcome.TRIGGER_REACHED, f"trigger{'' if len(triggered) == 1 else 's'} reached"),
        (unknown, Outcome.CANNOT_DETERMINE, f"verdict{'' if len(unknown) == 1 else 's'} without an answer"),
    )
    return [_group(group, outcome, what, chosen) for group, outcome, what in listed if group]


def _group(group: Sequence[Verdict], outcome: Outcome, what: str, chosen: date | None) -> Entry:
    mark = words.MARKS[outcome]
    label = f":{mark.text_color}[**{mark.symbol} {len(group)}**] {what}"
    if len(group) == 1:
        named = f"{label}: {words.plain(group[0].limit.analyte)}"
        return Entry(named, 1, links.ANALYTE, verdict_rows.analyte_parameters(group[0], chosen))
    unanswered = outcome is Outcome.CANNOT_DETERMINE
    option = controls.WITHOUT_ANSWER if unanswered else controls.ABOVE_OR_TRIGGERED
    shown = links.parameters(chosen, show=option, point=group[0].sample_point)
    return Entry(label, len(group), links.FINISHED_WATER, shown)


def _due_now(dues: Sequence[Due], chosen: date | None) -> list[Entry]:
    """Confirmations, re-samples, overdue samples and late reports, one line each."""
    listed = (
        (DueState.CONFIRM, "red", "confirmation sample due", "confirmation samples due", "first by"),
        (DueState.RESAMPLE, "red", "re-sample needed", "re-samples needed", "first by"),
        (DueState.OVERDUE, "red", "sample overdue", "samples overdue", "oldest since"),
        (DueState.LATE, "yellow", "report late at the laboratory", "reports late at the laboratory", "oldest since"),
    )
    return [
        _due(found, state, color, one, many, when, chosen)
        for state, color, one, many, when in listed
        if (found := due_rows.of_state(dues, state))
    ]


def _due(
    found: Sequence[Due], state: DueState, color: str, one: str, many: str, when: str, chosen: date | None
) -> Entry:
    number = due_rows.number_of_samples(found)
    days = [day for due in found if (day := due.since if when == "oldest since" else due.due_by)]
    first = f", {when} {figures.short_day(min(days))}" if days else ""
    label = f":{color}[**{figures.whole(number)}**] {one if number == 1 else many}{first}"
    return Entry(label, number, links.DUE, links.parameters(chosen, state=state.value))


def _this_week(dues: Sequence[Due], on: date, chosen: date | None) -> list[Entry]:
    found = due_rows.due_this_week(dues, on)
    if not found:
        return []
    number = due_rows.number_of_samples(found)
    first = min(due.due_by for due in found if due.due_by)
    label = f"**{figures.whole(number)}** {'sample' if number == 1 else 'samples'} due this week, first by "
    shown = links.parameters(chosen, state=DueState.NOT_YET.value)
    return [Entry(f"{label}{first:%a} {figures.short_day(first)}", number, links.DUE, shown)]


def _held(held: Sequence[Held], on: date) -> Entry:
    files = {cell.load_id for cell in held}
    zone = data.plant().zone
    days = max((on - min(cell.held_since for cell in held).astimezone(zone).date()).days, 0)
    age = f", oldest {figures.plural(days, 'day')}" if days else ""
    number = number_of_cells(held)
    label = f"**{figures.whole(number)}** {'cell' if number == 1 else 'cells'} held"
    where = f" in {figures.plural(len(files), 'file')}{age}"
    return Entry(label + where, number, links.LOAD, links.parameters(None, load=str(max(files))))
