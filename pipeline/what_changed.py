"""Which verdicts differ between two states of knowledge, and what was done in between that explains it."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from pipeline.evaluate import verdicts
from pipeline.knowledge import Knowledge
from pipeline.plant.plant import Plant
from pipeline.screening.model import Verdict
from pipeline.screening.order import worst_first
from pipeline.screening.terms import terms_of
from pipeline.store import reading
from pipeline.store.connection import Store
from pipeline.store.reading import Deed

Judge = Callable[[Plant, int | None], Sequence[Verdict]]
PLANT_FOLDER = "plant folder"


@dataclass(frozen=True, slots=True)
class Reason:
    """What was done that a verdict may differ for.

    Attributes
    ----------
    kind
        ``load``, ``revision``, ``withdrawal``, ``decision``, ``retry`` or ``plant folder``.
    event_id, happened_at, who
        When and by whom; ``None`` and empty for a change of the plant folder, which is known by its use only.
    what
        In words: the file, the load, the reason that was given.
    """

    kind: str
    event_id: int | None
    happened_at: datetime | None
    who: str
    what: str


@dataclass(frozen=True, slots=True)
class ChangedVerdict:
    """A verdict that differs; ``before`` or ``after`` is ``None`` where the limit was, or is, not judged there."""

    limit_id: str
    analyte: str
    sample_point: str
    before: Verdict | None
    after: Verdict | None
    why: tuple[Reason, ...] = ()


def differing(before: Iterable[Verdict], after: Iterable[Verdict]) -> list[ChangedVerdict]:
    """Verdicts that differ in what they say; the worst of the later ones first.

    Outcome, ``act now``, since when, the statistic with its bounds, and the number of held cells are compared: another
    file that says the same is no difference.
    """
    earlier, later = _by_subject(before), _by_subject(after)
    order = [_subject(verdict) for verdict in worst_first(list(later.values()))]
    order += [subject for subject in earlier if subject not in later]
    return [
        ChangedVerdict(*subject, earlier.get(subject), later.get(subject))
        for subject in order
        if _says(earlier.get(subject)) != _says(later.get(subject))
    ]


def what_changed(
    store: Store, before: Knowledge, after: Knowledge, on: date, judge: Judge | None = None
) -> list[ChangedVerdict]:
    """Verdicts of a day that differ between two states of knowledge, each with what explains it.

    Parameters
    ----------
    before, after
        From :func:`pipeline.knowledge.known_at`; ``after`` is the later one.
    judge
        Gives the verdicts by a plant folder as of an event, where more enters than the store says (samples overdue).

    Raises
    ------
    StoreError
        When the store cannot be read.
    """
    judged = judge or (lambda plant, event_id: verdicts(store, plant, on, event_id))
    then, now = judged(before.plant, before.as_of_event), judged(after.plant, after.as_of_event)
    changed = differing(then, now)
    by_folder: frozenset[tuple[str, str, str]] = frozenset()
    if before.plant.version != after.plant.version:
        # With the results of the later state and the folder of the earlier one: what is left is the folder's doing.
        between = judged(before.plant, after.as_of_event)
        by_folder = frozenset((one.limit_id, one.analyte, one.sample_point) for one in differing(between, now))
    with store.read() as connection:
        deeds = reading.deeds_between(connection, before.as_of_event, after.as_of_event)
    return [_with_reasons(one, deeds, by_folder) for one in changed]


def _with_reasons(
    changed: ChangedVerdict, deeds: Sequence[Deed], by_folder: frozenset[tuple[str, str, str]]
) -> ChangedVerdict:
    verdict = changed.after or changed.before
    analytes = frozenset() if verdict is None else frozenset((verdict.limit.analyte, *terms_of(verdict.limit).analytes))
    found: Mapping[tuple[int, str], Reason] = {
        (deed.event_id, deed.kind): Reason(deed.kind, deed.event_id, deed.happened_at, deed.who, deed.what)
        for deed in deeds
        if deed.sample_point in ("", changed.sample_point) and deed.analyte in analytes
    }
    reasons = tuple(found.values())
    if (changed.limit_id, changed.analyte, changed.sample_point) in by_folder:
        reasons += (Reason(PLANT_FOLDER, None, None, "", "the plant folder was changed"),)
    return ChangedVerdict(
        changed.limit_id, changed.analyte, changed.sample_point, changed.before, changed.after, reasons
    )


def _by_subject(found: Iterable[Verdict]) -> dict[tuple[str, str, str], Verdict]:
    return {_subject(verdict): verdict for verdict in found}


def _subject(verdict: Verdict) -> tuple[str, str, str]:
    return verdict.limit.limit_id, verdict.limit.analyte, verdict.sample_point


def _says(verdict: Verdict | None) -> object:
    if verdict is None:
        return None
    return (
        verdict.outcome, verdict.act_now, verdict.since, verdict.statistic_low, verdict.statistic_high,
        verdict.limit.value, verdict.limit.value_high, len(verdict.held),
    )  # fmt: skip
