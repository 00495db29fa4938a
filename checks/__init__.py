"""The checks a load has to pass: suites of rules, run by Great Expectations on the load's own scratch database."""
