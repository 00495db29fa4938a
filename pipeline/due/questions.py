"""What to ask each laboratory: late reports, held cells with their lines, samples to be taken again."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from pipeline.due.model import Due, DueState, Found, TakenSample

NOT_KNOWN: Final = "laboratory not known"


class Subject(StrEnum):
    """What a question is about; the order in which a list has them."""

    LATE = "late report"
    HELD = "held"
    RESAMPLE = "re-sample"
    OTHER_POINT = "another sample point"
    PRELIMINARY = "preliminary"


@dataclass(frozen=True, slots=True)
class HeldLine:
    """A held cell as it was written, and why it is held."""

    laboratory: str
    sample: str
    sample_point: str
    analyte: str
    collected: str
    value: str
    unit: str
    file: str
    line: int
    column: str
    reason: str


@dataclass(frozen=True, slots=True)
class OtherPoint:
    """A sample that a report puts at another point than the sample log does."""

    taken: TakenSample
    found: Found


@dataclass(frozen=True, slots=True)
class Question:
    """One question to a laboratory; ``file`` and ``line`` say where the cause stands, empty where nothing came yet."""

    laboratory: str
    subject: Subject
    sample: str
    sample_point: str
    collected: str
    analyte: str
    question: str
    file: str = ""
    line: int | None = None


def at_another_point(taken: Iterable[TakenSample], found: Iterable[Found]) -> list[OtherPoint]:
    """Samples whose results name another point than the log does, one a sample and point."""
    logged = {one.sample: one for one in taken}
    seen: dict[tuple[str, str], OtherPoint] = {}
    for one in found:
        sample = logged.get(one.sample)
        if sample is not None and sample.sample_point != one.sample_point:
            seen.setdefault((one.sample, one.sample_point), OtherPoint(sample, one))
    return list(seen.values())


def questions(
    dues: Iterable[Due], held: Iterable[HeldLine], other_points: Iterable[OtherPoint]
) -> dict[str, list[Question]]:
    """Questions by laboratory, both in order; a laboratory without one is left out.

    Parameters
    ----------
    dues
        What is due on a day; late reports, preliminary results and re-samples are asked about.
    """
    asked = [
        *_about_reports(dues),
        *(_about_held(one) for one in held),
        *(_about_point(one) for one in other_points),
    ]
    by_laboratory: dict[str, list[Question]] = defaultdict(list)
    for question in asked:
        by_laboratory[question.laboratory or NOT_KNOWN].append(question)
    order = list(Subject)
    return {
        laboratory: sorted(
            by_laboratory[laboratory],
            key=lambda one: (order.index(one.subject), one.collected, one.sample, one.file, one.line or 0, one.analyte),
        )
        for laboratory in sorted(by_laboratory)
    }


def _about_reports(dues: Iterable[Due]) -> Iterable[Question]:
    """One question a sample and state: a late report is asked for once, with all its analytes."""
    gathered: dict[tuple[str, str, str, DueState, str, date | None], list[Due]] = defaultdict(list)
    for due in dues:
        if due.state in _ASKED:
            key = due.laboratory, due.sample, due.sample_point, due.state, due.reason, due.due_by
            gathered[key].append(due)
    for alike in gathered.values():
        first = alike[0]
        yield Question(
            laboratory=first.laboratory,
            subject=_ASKED[first.state],
            sample=first.sample,
            sample_point=first.sample_point,
            collected=first.collected_on.isoformat() if first.collected_on else "",
            analyte=", ".join(dict.fromkeys(due.analyte for due in alike if due.analyte)),
            question=_words(first, alike),
            file=first.file,
            line=first.line,
        )


_ASKED: Final = {
    DueState.LATE: Subject.LATE,
    DueState.PRELIMINARY: Subject.PRELIMINARY,
    DueState.RESAMPLE: Subject.RESAMPLE,
}


def _words(due: Due, alike: Sequence[Due]) -> str:
    if due.state is DueState.LATE:
        received = f"received {due.received_on.isoformat()}" if due.received_on else "receipt not logged"
        expected = f"expected by {due.due_by.isoformat()}" if due.due_by else "expected"
        return f"The report was {expected} ({received}). Did the sample arrive, and when will the report come?"
    if due.state is DueState.PRELIMINARY:
        them = "This result is" if len(alike) == 1 else "These results are"
        return f"{them} preliminary. When will the final report come?"
    when = "at once" if due.since else f"by {due.due_by.isoformat()}" if due.due_by else "at once"
    why = f" ({due.reason.rstrip('.')})" if due.reason else ""
    return f"The result cannot be used{why}. We sample again {when}: please send bottles, and say what went wrong."


def _about_held(held: HeldLine) -> Question:
    written = f' It says "{held.value}{" " + held.unit if held.unit else ""}".' if held.value else ""
    return Question(
        laboratory=held.laboratory,
        subject=Subject.HELD,
        sample=held.sample,
        sample_point=held.sample_point,
        collected=held.collected,
        analyte=held.analyte,
        question=f"Column {held.column} cannot be taken as it is: {held.reason}{written} What is right?",
        file=held.file,
        line=held.line,
    )


def _about_point(other: OtherPoint) -> Question:
    return Question(
        laboratory=other.found.laboratory or other.taken.laboratory,
        subject=Subject.OTHER_POINT,
        sample=other.found.sample,
        sample_point=other.taken.sample_point,
        collected=other.taken.collected_on.isoformat(),
        analyte=other.found.analyte,
        question=(
            f"The report says that this sample is from {other.found.sample_point}, our log that it is from "
            f"{other.taken.sample_point}. Which bottle was it?"
        ),
        file=other.found.file,
        line=other.found.line,
    )
