"""Limits whose yearly sample starts quarterly samples when it is above: it is the first quarter, and the year decides.

40 CFR 141.24(f)(15)(ii) and (h)(11)(ii) for organics, 141.621 for the yearly sample of disinfection by-products.
"""

from dataclasses import replace

from pipeline.screening.assessment import Assessment, Question
from pipeline.screening.calendar_quarters import QUARTERS_OF_A_YEAR, quarter_of
from pipeline.screening.frequency import Frequency
from pipeline.screening.model import Step
from pipeline.screening.rounding import compare
from pipeline.screening.running_average import assess_running
from pipeline.screening.samples import SampleValue
from pipeline.screening.single_results import assess_single
from pipeline.vocabulary import Comparison, Outcome

QUARTERS_START = "quarterly samples start"


def assess_yearly_trigger(question: Question, statistic_name: str, frequency: Frequency) -> Assessment:
    """Assess yearly or rarer samples: by themselves while within, as the first of four quarters once one is above."""
    trigger = _trigger_sample(question)
    said = Step("Sampling", frequency.said_by)
    if trigger is None:
        alone = assess_single(question, statistic_name, confirmed=False)
        return replace(alone, steps=(said, *alone.steps))
    since_trigger = replace(
        question,
        samples=[sample for sample in question.samples if sample.collected_on >= trigger.collected_on],
        first_on=trigger.collected_on,
    )
    quarterly = Frequency(
        QUARTERS_OF_A_YEAR, f"{frequency.said_by}; quarterly since {trigger.collected_on.isoformat()}"
    )
    answer = assess_running(since_trigger, statistic_name, quarterly)
    if answer.outcome not in (Outcome.NOT_ENOUGH_DATA, Outcome.ABOVE_NOT_YET):
        return answer
    reason = f"{trigger.collected_on.isoformat()}: a single result above starts quarterly samples; {answer.reason}"
    return replace(answer, outcome=Outcome.ABOVE_NOT_YET, reason=reason, next_action=QUARTERS_START)


def _trigger_sample(question: Question) -> SampleValue | None:
    """First sample above the number within the four quarters up to the day."""
    begin = quarter_of(question.on) - QUARTERS_OF_A_YEAR
    recent = (sample for sample in question.samples if quarter_of(sample.collected_on) >= begin)
    above = (s for s in recent if compare(s.value, 1, question.numbers).comparison is Comparison.ABOVE)
    return next(above, None)
