"""What a run of the checks found, counted; the findings themselves are in ``staged_finding``."""

from dataclasses import dataclass

from checks.rules import Rule


@dataclass(frozen=True, slots=True)
class RuleResult:
    """How many cells one rule looked at, and how many failed it."""

    rule: Rule
    evaluated: int
    failed: int

    @property
    def success(self) -> bool:
        """Whether no cell failed."""
        return self.failed == 0


@dataclass(frozen=True, slots=True)
class CheckReport:
    """The results of every rule that was run, in the order of the suites."""

    results: tuple[RuleResult, ...]

    @property
    def success(self) -> bool:
        """Whether no cell failed any rule."""
        return all(result.success for result in self.results)

    @property
    def findings(self) -> int:
        """How many findings were written."""
        return sum(result.failed for result in self.results)
