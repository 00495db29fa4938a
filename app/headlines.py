"""Titles that answer: each page's first line says the worst fact that the page has to tell."""

from collections.abc import Sequence

from app import figures, words
from pipeline.screening.model import Verdict
from pipeline.vocabulary import Outcome


def today(verdicts: Sequence[Verdict], held_cells: int) -> str:
    """The worst fact of each question that the first page asks."""
    judged = judged_only(verdicts)
    facts = []
    acute = list(dict.fromkeys(verdict.limit.analyte for verdict in judged if verdict.act_now))
    if acute:
        facts.append(f"{figures.joined(acute)} {'needs' if len(acute) == 1 else 'need'} a person now")
    exceeding = sum(verdict.outcome in words.EXCEEDING for verdict in judged)
    above = sum(verdict.outcome is Outcome.ABOVE_NOT_YET and not verdict.act_now for verdict in judged)
    unanswered = sum(verdict.outcome in words.UNANSWERED for verdict in judged)
    if exceeding:
        facts.append(f"{_limits(exceeding)} exceeded")
    elif above:
        facts.append(f"{figures.count_word(above)} {'value is' if above == 1 else 'values are'} above the number")
    elif judged and unanswered == len(judged):
        facts.append("no limit can be judged yet")
    elif not acute and judged:
        facts.append("no limit is exceeded")
    if not exceeding and 0 < unanswered < len(judged):
        facts.append(f"{figures.count_word(unanswered)} of {figures.whole(len(judged))} cannot be answered yet")
    if held_cells:
        facts.append(f"{figures.plural(held_cells, 'cell is', 'cells are')} held")
    return sentences(facts) if facts else "Nothing needs a person today."


def finished_water(verdicts: Sequence[Verdict], where: str) -> str:
    """How many limits are exceeded ``where`` (``in the finished water``), or the next best answer."""
    judged = judged_only(verdicts)
    exceeding = sum(verdict.outcome in words.EXCEEDING for verdict in judged)
    if not judged:
        return f"No limit is judged {where}"
    of_all = f"of {figures.whole(len(judged))} limits"
    if exceeding:
        is_or_are = "is" if exceeding == 1 else "are"
        return f"{figures.sentence(figures.count_word(exceeding))} {of_all} {is_or_are} exceeded {where}"
    unanswered = sum(verdict.outcome in words.UNANSWERED for verdict in judged)
    if unanswered == len(judged):
        return f"None {of_all} can be judged yet"
    if unanswered:
        return f"No limit is exceeded {where}; {figures.count_word(unanswered)} {of_all} cannot be answered yet"
    return f"No limit is exceeded {where}: {figures.whole(len(judged))} judged"


def inside_every_limit(verdicts: Sequence[Verdict]) -> str:
    """The question of the first page, with its answer."""
    judged = judged_only(verdicts)
    exceeding = sum(verdict.outcome in words.EXCEEDING for verdict in judged)
    above = sum(verdict.outcome is Outcome.ABOVE_NOT_YET for verdict in judged)
    unanswered = sum(verdict.outcome in words.UNANSWERED for verdict in judged)
    number = figures.whole(len(judged))
    if exceeding:
        answer = f"No: {exceeding} of {number} {'exceeds' if exceeding == 1 else 'exceed'}."
    elif above:
        answer = f"Not certain: {above} of {number} above the number."
    elif unanswered:
        answer = f"Not certain: {unanswered} of {number} without an answer."
    elif judged:
        answer = f"Yes, all {number}."
    else:
        answer = "No limit is judged."
    return f"Is the finished water inside every limit? {answer}"


def analyte(verdict: Verdict) -> str:
    """What the verdict on one analyte says, with its number and its limit where there is one."""
    name, limit = verdict.limit.analyte, verdict.limit
    amount, number = figures.statistic(verdict), figures.limit_text(limit)
    beside = f"{amount} of {number}" if amount and number else ""
    said = {
        Outcome.EXCEEDS: "exceeds its limit",
        Outcome.REJECTION_CLAIMED: "exceeds its limit; a rejection is claimed",
        Outcome.ABOVE_NOT_YET: "is above the number, not yet an exceedance",
        Outcome.TRIGGER_REACHED: "has reached a trigger",
        Outcome.CANNOT_DETERMINE: "cannot be judged",
        Outcome.NO_DATA: "has no data",
        Outcome.NOT_ENOUGH_DATA: "has not enough data",
        Outcome.NEAR_LIMIT: "is near its limit",
        Outcome.MEETS: "meets its limit",
        Outcome.INFORMATION: "is shown for information",
    }[verdict.outcome]
    return f"{name} {said}: {beside}" if beside else f"{name} {said}"


def held_cells(number: int, file: str) -> str:
    """How many cells of a file are held; or that none are."""
    if number:
        return f"{figures.plural(number, 'cell')} held in {file}"
    return f"Every cell of {file} is accounted for, none is held"


def judged_only(verdicts: Sequence[Verdict]) -> list[Verdict]:
    """Verdicts on limits that bind or guide; rows kept for information answer no question."""
    return [verdict for verdict in verdicts if verdict.outcome in words.JUDGED]


def sentences(facts: Sequence[str]) -> str:
    """Facts as at most two sentences: the first alone, the rest joined by semicolons."""
    first, *rest = [figures.sentence(fact) for fact in facts]
    if not rest:
        return f"{first}."
    return f"{first}. {'; '.join([rest[0], *(fact[:1].lower() + fact[1:] for fact in rest[1:])])}."


def _limits(number: int) -> str:
    return f"{figures.count_word(number)} {'limit is' if number == 1 else 'limits are'}"
