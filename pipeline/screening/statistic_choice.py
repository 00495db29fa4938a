"""Which statistic a limit asks for, and the function that computes it."""

from dataclasses import replace

from pipeline.plant.tables import Limit
from pipeline.screening.assessment import Assessment, Question
from pipeline.screening.frequency import Frequency, frequency_of
from pipeline.screening.hazard_index import with_members_detected
from pipeline.screening.model import Step
from pipeline.screening.running_average import assess_running
from pipeline.screening.single_results import assess_single
from pipeline.screening.yearly_trigger import assess_yearly_trigger

INFORMATION_ONLY = "information only"
MEAN_WITH_CONFIRMATION = "mean with confirmation"
SINGLE_VALUE = "single value"
BY_FREQUENCY = "by monitoring frequency"
TRIGGER_ONLY = "trigger only"
QUARTER_MEANS = "running annual average of quarter means"
MONTHLY_MEANS = "running annual average of monthly means"
LOCATIONAL = "locational running annual average"
HAZARD_INDEX = "hazard index running annual average"
RUNNING = frozenset({QUARTER_MEANS, MONTHLY_MEANS, LOCATIONAL, HAZARD_INDEX})
SUPPORTED = RUNNING | {SINGLE_VALUE, MEAN_WITH_CONFIRMATION, BY_FREQUENCY}

SAMPLES_OF_A_YEAR = {MONTHLY_MEANS: 12, QUARTER_MEANS: 4, LOCATIONAL: 4, HAZARD_INDEX: 4}


def is_supported(limit: Limit) -> bool:
    """Whether the statistic of a limit, in every frequency it knows, can be computed here."""
    if limit.statistic != BY_FREQUENCY:
        return limit.statistic in SUPPORTED
    parameters = limit.statistic_parameters
    yearly, often = parameters.get("yearly_or_less", ""), parameters.get("more_often", "")
    return yearly in {TRIGGER_ONLY, SINGLE_VALUE, MEAN_WITH_CONFIRMATION} and often in RUNNING


def averages_confirmations(limit: Limit) -> bool:
    """Whether a confirmation is averaged with the sample it confirms; for single values each stands by itself."""
    return limit.statistic != SINGLE_VALUE


def assess(question: Question) -> tuple[Assessment, Frequency]:
    """Assess a question by the statistic that its limit, and the frequency of sampling, ask for."""
    limit = question.limit
    of_rule = SAMPLES_OF_A_YEAR.get(limit.statistic, 1)
    frequency = frequency_of(question.planned, question.samples, question.on, of_rule=of_rule)
    return _assess(question, chosen_statistic(limit, frequency), frequency), frequency


def chosen_statistic(limit: Limit, frequency: Frequency) -> str:
    """Statistic in force for a frequency of sampling."""
    parameters = limit.statistic_parameters
    yearly = parameters.get("yearly_or_less", "")
    if limit.statistic == BY_FREQUENCY:
        return yearly if frequency.yearly_or_less else parameters["more_often"]
    if limit.statistic in RUNNING and yearly and frequency.yearly_or_less:
        return yearly
    return limit.statistic


def _assess(question: Question, statistic: str, frequency: Frequency) -> Assessment:
    if statistic == SINGLE_VALUE:
        answer = assess_single(question, statistic, confirmed=False)
    elif statistic == MEAN_WITH_CONFIRMATION:
        answer = _with_sampling(assess_single(question, statistic, confirmed=True), question, frequency)
    elif statistic == TRIGGER_ONLY:
        answer = assess_yearly_trigger(question, "single yearly result", frequency)
    else:
        answer = assess_running(question, statistic, frequency, monthly=statistic == MONTHLY_MEANS)
    return with_members_detected(answer, question)


def _with_sampling(answer: Assessment, question: Question, frequency: Frequency) -> Assessment:
    """Say where the frequency is known from when it chose the statistic."""
    if question.limit.statistic != BY_FREQUENCY:
        return answer
    return replace(answer, steps=(Step("Sampling", frequency.said_by), *answer.steps))
