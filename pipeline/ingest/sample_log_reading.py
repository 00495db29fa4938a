"""Lines of a custody sheet, read: which sample, where and when it was taken, why, and what is asked of it.

What cannot be interpreted is held with what clears it; what is readable and odd is flagged. Each line is read by
itself; :func:`settle_sheet` then looks at lines of one sheet that tell of the same bottle.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from itertools import pairwise

from pipeline.ingest.file_layout import folded
from pipeline.ingest.sample_log_content import SEPARATOR, SampleContent, SampleFinding, moment_text
from pipeline.ingest.sample_log_layout import SampleLogLayout, SampleLogWords
from pipeline.ingest.sample_log_lines import WrittenSample
from pipeline.ingest.styles import TimeStyle
from pipeline.ingest.time_text import TimeReading, read_time
from pipeline.ingest.value_text import read_number
from pipeline.plant.plant import Plant
from pipeline.vocabulary import Purpose, Severity

NAMED_SAMPLES = ("confirmation_of", "repeat_of", "split_of")
_MOST_LINES_NAMED = 6


class LineState(StrEnum):
    """What the sheet alone decides of a line; the store decides of ``candidate`` and ``twin``."""

    EMPTY = "empty"
    SET_ASIDE = "set aside"
    HELD = "held"
    TWIN = "twin"
    CANDIDATE = "candidate"


@dataclass(frozen=True, slots=True)
class ReadSample:
    """One line, read: its state, what it says (``None`` when held or empty), and what is found of it."""

    written: WrittenSample
    state: LineState
    content: SampleContent | None
    findings: tuple[SampleFinding, ...] = ()
    first_cell_id: int | None = None


@dataclass
class _Reading:
    """The findings of one line while it is read."""

    findings: list[SampleFinding] = field(default_factory=list)

    def hold(self, rule_id: str, message: str, remedy: str) -> None:
        self.findings.append(SampleFinding(rule_id, Severity.HOLD, message, remedy))

    def flag(self, rule_id: str, message: str, remedy: str) -> None:
        self.findings.append(SampleFinding(rule_id, Severity.FLAG, message, remedy))

    @property
    def holds(self) -> bool:
        return any(finding.severity is Severity.HOLD for finding in self.findings)


def read_samples(
    lines: Iterable[WrittenSample], layout: SampleLogLayout, plant: Plant, *, loaded_at: datetime
) -> list[ReadSample]:
    """Read every line of a sheet, and settle lines that tell of the same bottle.

    Parameters
    ----------
    layout
        It says how times are written, and what the words of the sheet mean.
    loaded_at
        Times after it are doubtful.
    """
    return settle_sheet([_read(line, layout, plant, loaded_at) for line in lines])


def settle_sheet(lines: Sequence[ReadSample]) -> list[ReadSample]:
    """Lines of one sheet with one key: equal ones are said twice, different ones are held, all of them."""
    by_key: dict[str, list[ReadSample]] = defaultdict(list)
    for line in lines:
        if line.content is not None:
            by_key[line.content.key_hash].append(line)
    return [_settled(line, by_key[line.content.key_hash]) if line.content else line for line in lines]


def _settled(line: ReadSample, alike: Sequence[ReadSample]) -> ReadSample:
    contents = {one.content.content_hash for one in alike if one.content}
    if len(contents) > 1:
        numbers = ", ".join(str(one.written.line) for one in alike[:_MOST_LINES_NAMED])
        finding = SampleFinding(
            "equal_keys_in_file",
            Severity.HOLD,
            f"Lines {numbers} tell of the same sample for the same laboratory with different contents.",
            "Number its bottles in a column of their own, or ask who filled in the sheet which line counts; then load "
            "the corrected sheet.",
        )
        return replace(line, state=LineState.HELD, content=None, findings=(*line.findings, finding))
    first = alike[0].written.cell_id
    if first != line.written.cell_id:
        return replace(line, state=LineState.TWIN, first_cell_id=first)
    return line


def _read(line: WrittenSample, layout: SampleLogLayout, plant: Plant, loaded_at: datetime) -> ReadSample:
    if line.set_aside:
        return ReadSample(line, LineState.SET_ASIDE, None)
    if not line.text("sample") and not line.text("point") and not line.text("collected"):
        return ReadSample(line, LineState.EMPTY, None)
    reading = _Reading()
    if line.row_problem:
        reading.hold(
            "row_not_aligned",
            _sentence(line.row_problem),
            "Look for a separator inside a text or a missing one; then load the corrected sheet.",
        )
        return ReadSample(line, LineState.HELD, None, tuple(reading.findings))
    content = _content(line, layout, plant, reading)
    if content is not None:
        _look_for_disorder(content, loaded_at, reading)
        _compare_with_plant(content, plant, reading)
    return ReadSample(
        line,
        LineState.CANDIDATE if content is not None else LineState.HELD,
        content,
        tuple(reading.findings),
    )


def _content(line: WrittenSample, layout: SampleLogLayout, plant: Plant, reading: _Reading) -> SampleContent | None:
    sample = line.text("sample")
    if not sample:
        reading.hold(
            "sample_not_named",
            "The line does not name its sample.",
            "Write our own sample id on the sheet; then load it again.",
        )
    times = {
        name: _time(line, name, layout.times, plant, reading)
        for name in ("collected", "relinquished", "received", "issued")
    }
    collected_on = times["collected"].local_date
    point = _point(line, plant, collected_on, reading)
    purpose = _purpose(line, layout.words, reading)
    requested = _requested(line, layout.words, plant, collected_on, reading)
    revision = _revision(line, reading)
    named = {name: line.text(name) for name in NAMED_SAMPLES}
    if sample and sample in named.values():
        reading.hold(
            "sample_named_by_itself",
            f"{sample} is said to confirm, repeat or be split from itself.",
            "Name the first sample; then load the corrected sheet.",
        )
    if reading.holds or point is None or collected_on is None:
        return None
    laboratory = line.text("laboratory")
    return SampleContent(
        sample=sample,
        laboratory_sample=line.text("laboratory_sample"),
        laboratory=plant.names.laboratory(laboratory, laboratory, collected_on) or laboratory,
        bottle=line.text("bottle"),
        sample_point=point,
        sampler=line.text("sampler"),
        collected_text=line.text("collected"),
        collected_at=times["collected"].instant,
        collected_on=collected_on,
        relinquished_text=line.text("relinquished"),
        relinquished_at=times["relinquished"].instant,
        relinquished_on=times["relinquished"].local_date,
        received_text=line.text("received"),
        received_at=times["received"].instant,
        received_on=times["received"].local_date,
        purpose=purpose,
        **named,
        requested_text=line.text("requested"),
        requested=requested,
        comment_text=line.text("comment"),
        revision=revision,
        issued_on=times["issued"].local_date,
    )


def _time(line: WrittenSample, name: str, style: TimeStyle, plant: Plant, reading: _Reading) -> TimeReading:
    text = line.text(name)
    found = read_time(text, plant.zone, style)
    if found.problem:
        rule = "collected_time_not_readable" if name == "collected" else "time_not_readable"
        reading.hold(
            rule,
            f"{_sentence(name)}: {found.problem}",
            "Name the way the sheet writes times in the layout, or correct the sheet; then retry.",
        )
    elif name == "collected" and found.local_date is None:
        reading.hold(
            "collected_time_missing",
            "The line does not say when the sample was taken.",
            "Write it on the sheet; then load it again.",
        )
    if found.doubt:
        reading.flag("time_in_doubt", f"{_sentence(name)}: {found.doubt}", "Write times with their offset from UTC.")
    return found


def _point(line: WrittenSample, plant: Plant, on: date | None, reading: _Reading) -> str | None:
    written = line.text("point")
    point = plant.names.point(written, line.text("laboratory"), on) if written else None
    if point is None:
        reading.hold(
            "sample_point_not_known",
            f'Sample point "{written}" is not known.' if written else "The line does not say where the sample is from.",
            "Name the sample point in aliases.csv or sample_points.csv; then retry.",
        )
    return point


def _purpose(line: WrittenSample, words: SampleLogWords, reading: _Reading) -> str:
    """Why the sample was taken; ``''`` where the sheet does not say. A sample that confirms another is a confirmation.

    A word that means nothing is held: it decides whether the sample counts for compliance.
    """
    written = line.text("purpose")
    meaning = words.purpose.get(folded(written), folded(written))
    if not meaning:
        return Purpose.CONFIRMATION.value if line.text("confirmation_of") else ""
    if meaning in set(Purpose):
        return str(meaning)
    reading.hold(
        "purpose_not_known",
        f'The purpose "{written}" is not known.',
        "Name the word under [words.purpose] in the layout; then retry.",
    )
    return ""


def _requested(
    line: WrittenSample, words: SampleLogWords, plant: Plant, on: date | None, reading: _Reading
) -> tuple[str, ...]:
    """The analytes asked for, in the order of the sheet: by the layout's words, groups, categories, names."""
    found: dict[str, None] = {}
    for written in filter(None, map(str.strip, line.text("requested").split(SEPARATOR))):
        for name in words.requested.get(folded(written), (written,)):
            analytes = _analytes(name, plant, line.text("laboratory"), on)
            if not analytes:
                reading.hold(
                    "analyte_not_known",
                    f'What is asked for as "{name}" is not known.',
                    "Name it under [words.requested] in the layout, or as an analyte in aliases.csv; then retry.",
                )
            found |= dict.fromkeys(analytes)
    return tuple(found)


def _analytes(name: str, plant: Plant, sender: str, on: date | None) -> tuple[str, ...]:
    """What one word for an analysis stands for; the name of an analyte comes before that of a group or category."""
    match = plant.names.analyte(name, sender=sender, on=on)
    if match.analyte is not None:
        return (match.analyte,)
    wanted = folded(name)
    members = tuple(row.member for row in plant.analyte_groups if folded(row.group) == wanted)
    return members or tuple(row.analyte for row in plant.analytes.values() if folded(row.category) == wanted)


def _revision(line: WrittenSample, reading: _Reading) -> Decimal | None:
    number, problem = read_number(line.text("revision"))
    if problem:
        reading.hold(
            "revision_not_readable",
            f"Revision: {problem}",
            "Write the revision of the sheet as a number; then load it again.",
        )
    return number


def _look_for_disorder(content: SampleContent, loaded_at: datetime, reading: _Reading) -> None:
    steps = [
        ("collected", content.collected_at, content.collected_on),
        ("relinquished", content.relinquished_at, content.relinquished_on),
        ("received", content.received_at, content.received_on),
    ]
    said = [step for step in steps if step[2] is not None]
    for (earlier, earlier_at, earlier_on), (later, later_at, later_on) in pairwise(said):
        by_time = earlier_at is not None and later_at is not None and later_at < earlier_at
        if by_time or (earlier_on is not None and later_on is not None and later_on < earlier_on):
            reading.flag(
                "steps_out_of_order",
                f"The order of times is doubtful: {later} before {earlier}.",
                "Compare with the paper sheet; look for a swapped column, or a clock in another time zone.",
            )
    if any(at is not None and at > loaded_at for _, at, _ in said):
        reading.flag(
            "time_in_the_future",
            "A time lies after the moment of loading.",
            "Compare with the paper sheet; look for day and month swapped, or a wrong year.",
        )


def _compare_with_plant(content: SampleContent, plant: Plant, reading: _Reading) -> None:
    logged = plant.sample_log.get(content.sample)
    if logged is None:
        return
    other = read_time(logged.collected, plant.zone)
    pairs = {
        "sample point": (content.sample_point, logged.sample_point),
        "collected": (
            moment_text(content.collected_at, content.collected_on),
            moment_text(other.instant, other.local_date),
        ),
        "purpose": (content.purpose, logged.purpose),
        "confirmation of": (content.confirmation_of, logged.confirmation_of),
    }
    different = [name for name, (sheet, log) in pairs.items() if sheet and log and sheet != log]
    if different:
        reading.flag(
            "differs_from_sample_log",
            f"The sheet and sample_log.csv differ for {content.sample}: {', '.join(different)}.",
            "Correct the one that is wrong; until then the sheet counts.",
        )


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
