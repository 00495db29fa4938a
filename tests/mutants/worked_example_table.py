"""How many worked examples a changed product gets wrong."""

from tests.reference.worked_examples import EXAMPLES, faults_of, judged


def examples_that_fail() -> list[str]:
    """Names of the worked examples whose verdict is not as published."""
    return [example.name for example in EXAMPLES if faults_of(example, judged(example))]
