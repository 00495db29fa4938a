"""Results and limits in, verdicts out: which result counts, substitution, groups, averages, comparison, explanation."""
