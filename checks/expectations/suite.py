"""Makes a suite of our expectations from its JSON; importing this makes every expectation of ours known."""

import json

from great_expectations import ExpectationSuite

from checks.expectations import identified, possible, qualified, readable, sensitive, timely

MODULES = (readable, identified, possible, timely, sensitive, qualified)


def expectation_suite(text: str) -> ExpectationSuite:
    """The suite that a JSON text of ``checks/suites`` describes, its statements read from their files."""
    return ExpectationSuite(**json.loads(text))
