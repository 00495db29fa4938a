"""The arithmetic agrees with the rules' and the agencies' own examples, by the limit table as it ships."""

import pytest

from tests.reference.worked_examples import EXAMPLES, WorkedExample, faults_of, judged


@pytest.mark.parametrize("example", EXAMPLES, ids=str)
def test_worked_example_is_judged_as_published(example: WorkedExample) -> None:
    assert faults_of(example, judged(example)) == []
