"""The next thing to do about a verdict: a prompt to check with the rule and the agency, short enough for a table."""

from collections.abc import Sequence
from datetime import date

from pipeline.plant.tables import Limit
from pipeline.screening.model import HeldCell
from pipeline.screening.samples import SampleValue
from pipeline.vocabulary import Outcome, ValueKind

LONGEST = 28
NOTICE_KINDS = frozenset(
    {"primary", "action level", "treatment technique", "disinfectant residual maximum", "permit", "reuse criterion"}
)


def beyond_prompt(limit: Limit) -> str:
    """Prompt for a limit that is exceeded or a trigger that is reached; an acute one is an emergency."""
    if limit.acute:
        return "emergency procedure, agency"
    if limit.kind in NOTICE_KINDS:
        return "notify agency; resample"
    if limit.kind in ("notification level", "response level"):
        return "notify; resample"
    if limit.kind == "trigger level":
        then = limit.statistic_parameters.get("then", "").split(" from ")[0]
        return _short(then or "start what it triggers")
    return "review; resample"


def held_prompt(held: Sequence[HeldCell]) -> str:
    """Prompt for cells that are held."""
    return f"resolve {len(held)} held cell{'s' if len(held) > 1 else ''}"


def overdue_prompt(overdue: date) -> str:
    """Prompt for a sample that is overdue."""
    return f"overdue since {overdue.isoformat()}"


def undecided(limit: Limit, samples: Sequence[SampleValue]) -> tuple[str, str]:
    """Why bounds leave a comparison open, and the prompt for it.

    A missing member, two results of one sample, a value that cannot be brought to the unit, or a non-detect that is not
    sensitive enough; the first of these that applies.
    """
    missing = sorted({name for sample in samples for name in sample.missing})
    if missing:
        return f"{', '.join(missing)} missing", _short(f"report {missing[0]}", "report the missing members")
    if any(_is_disputed(sample) for sample in samples):
        return "two results of one sample differ", "say which result counts"
    open_results = [one for sample in samples for one in sample.used if one.counted_low != one.counted_high]
    if any(one.counted_high is None and one.result.kind is not ValueKind.ABOVE for one in open_results):
        return "a value has no upper end", "check unit and value"
    if any(one.result.kind is ValueKind.BELOW for one in open_results) and limit.value is not None:
        prompt = _short(f"ask lab: limit ≤ {limit.value:f} {limit.unit}".rstrip(), "ask lab for a lower limit")
        return "a non-detect is not sensitive enough", prompt
    return "a value is not known exactly", "ask the laboratory"


def _is_disputed(sample: SampleValue) -> bool:
    """Whether a sample's value is open only because two of its results differ."""
    return not sample.value.known and all(one.counted_low == one.counted_high for one in sample.used)


def complying_prompt(outcome: Outcome) -> str:
    """Prompt for a limit that is kept: nothing, or to watch it."""
    return "watch the next result" if outcome is Outcome.NEAR_LIMIT else ""


def _short(text: str, otherwise: str = "") -> str:
    return text if len(text) <= LONGEST else (otherwise or text[: LONGEST - 1] + "…")
