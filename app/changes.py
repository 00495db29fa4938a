"""Verdicts, and what a correction changes in them, by name for a program and as tables for a person."""

from collections.abc import Sequence

from app.figures import statistic
from app.printing import print_rows, say
from app.words import MARKS
from pipeline.effect import Effect
from pipeline.screening.model import Verdict
from pipeline.what_changed import ChangedVerdict, Reason


def verdict_as_json(verdict: Verdict) -> dict[str, object]:
    """A verdict by name, with the way back of every result to its file and line."""
    limit = verdict.limit
    return {
        "limit": limit.limit_id,
        "analyte": limit.analyte,
        "sample_point": verdict.sample_point,
        "outcome": verdict.outcome,
        "comparison": verdict.comparison,
        "act_now": verdict.act_now,
        "since": verdict.since,
        "reason": verdict.reason,
        "limit_value": limit.value,
        "limit_value_high": limit.value_high,
        "unit": limit.unit,
        "basis": limit.basis,
        "kind": limit.kind,
        "statistic": verdict.statistic_name,
        "statistic_low": verdict.statistic_low,
        "statistic_high": verdict.statistic_high,
        "compared_low": verdict.compared_low,
        "compared_high": verdict.compared_high,
        "share_low": verdict.share_low,
        "share_high": verdict.share_high,
        "window_from": verdict.window_from,
        "window_to": verdict.window_to,
        "steps": verdict.steps,
        "used": [
            {
                "result": used.result.result_id,
                "value": used.result.value_text,
                "unit": used.result.unit,
                "counted_low": used.counted_low,
                "counted_high": used.counted_high,
                "substitution": used.substitution,
                "file": used.result.file,
                "line": used.result.line,
                "column": used.result.column,
            }
            for used in verdict.used
        ],
        "excluded": [
            {
                "result": excluded.result.result_id,
                "because": excluded.because,
                "file": excluded.result.file,
                "line": excluded.result.line,
                "column": excluded.result.column,
            }
            for excluded in verdict.excluded
        ],
        "held": verdict.held,
        "next_action": verdict.next_action,
        "next_may_be": verdict.next_may_be,
        "next_assumes": verdict.next_assumes,
        "source": limit.source,
    }


def changed_as_json(changed: ChangedVerdict) -> dict[str, object]:
    """A verdict that differs: what it said, what it says, and what was done in between."""
    return {
        "limit": changed.limit_id,
        "analyte": changed.analyte,
        "sample_point": changed.sample_point,
        "before": _in_short(changed.before),
        "after": _in_short(changed.after),
        "why": changed.why,
    }


def effect_as_json(effect: Effect) -> dict[str, object]:
    """What a correction changed, or would change while ``event`` is null."""
    return {
        "event": effect.event_id,
        "results": effect.results,
        "verdicts": [changed_as_json(one) for one in effect.verdicts],
        "account": effect.account,
    }


def print_changes(changed: Sequence[ChangedVerdict], heading: str) -> None:
    """Print verdicts that differ, one line each, with what explains them; or that there is none."""
    if not changed:
        say(f"{heading}: no verdict.")
        return
    say(f"{heading}:")
    why = any(one.why for one in changed)
    print_rows(
        [
            (one.analyte, one.sample_point, one.limit_id, _said(one.before), _said(one.after))
            + (("; ".join(map(reason_words, one.why)),) if why else ())
            for one in changed
        ],
        ("Analyte", "Sample point", "Limit", "Before", "After", *(["Why"] if why else [])),
    )


def print_effect(effect: Effect) -> None:
    """Print what a correction changes: results that begin or stop to count, then verdicts."""
    if effect.results.is_empty():
        say("No result begins or stops to count.")
    else:
        print_rows(
            [
                (
                    row["change"],
                    row["analyte"],
                    row["sample_point"],
                    row["collected_on"],
                    " ".join(part for part in (row["value_text"].strip(), row["unit"], row["basis"]) if part),
                    f"{row['file_name']}, line {row['line']}",
                )
                for row in effect.results.iter_rows(named=True)
            ],
            ("Result", "Analyte", "Sample point", "Collected", "Value", "Where"),
        )
    print_changes(effect.verdicts, "Verdicts that change")


def reason_words(reason: Reason) -> str:
    """What was done, in a few words."""
    when = f" on {reason.happened_at:%Y-%m-%d} by {reason.who}" if reason.happened_at else ""
    return f"{reason.kind}{when}: {reason.what}"


def _said(verdict: Verdict | None) -> str:
    if verdict is None:
        return "not judged"
    now = "! act now " if verdict.act_now else ""
    number = statistic(verdict)
    return f"{now}{MARKS[verdict.outcome].symbol} {verdict.outcome.value}" + (f" ({number})" if number else "")


def _in_short(verdict: Verdict | None) -> dict[str, object] | None:
    if verdict is None:
        return None
    return {
        "outcome": verdict.outcome,
        "act_now": verdict.act_now,
        "since": verdict.since,
        "statistic_low": verdict.statistic_low,
        "statistic_high": verdict.statistic_high,
        "limit_value": verdict.limit.value,
        "held": len(verdict.held),
    }
