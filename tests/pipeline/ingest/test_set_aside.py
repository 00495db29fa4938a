"""Rules that set cells aside: each way of describing a text, and the words that keep a cell."""

import pytest
from pydantic import ValidationError

from pipeline.ingest.layout import SetAsideRule


def rule(**says: object) -> SetAsideRule:
    return SetAsideRule.model_validate({"column": "Customer", "reason": "not ours", **says})


@pytest.mark.parametrize(
    ("says", "meant", "not_meant"),
    [
        ({"equals": ["Mill", "Dairy"]}, [" mill ", "DAIRY"], ["Mills", ""]),
        ({"begins_with": ["Surr"]}, ["surrogate", "Surr"], ["a surrogate", ""]),
        ({"matches": r"QC-\d+"}, ["QC-12", " QC-1 "], ["QC-", "xQC-1", ""]),
        ({"is_blank": True}, ["", "  "], ["-"]),
        ({"unless": ["Our plant"]}, ["Mill", ""], ["our  plant"]),
        ({"begins_with": ["Q"], "unless": ["Quarry"]}, ["QC"], ["quarry", "Mill"]),
        ({"equals": ["Mill"], "is_blank": True}, ["mill", ""], ["Dairy"]),
    ],
)
def test_a_rule_means_what_it_describes(says: dict[str, object], meant: list[str], not_meant: list[str]) -> None:
    assert [text for text in meant if not rule(**says).means(text)] == []
    assert [text for text in not_meant if rule(**says).means(text)] == []


@pytest.mark.parametrize(("says", "fault"), [({}, "which texts"), ({"matches": "("}, "not a pattern")])
def test_a_rule_that_says_nothing_is_a_fault(says: dict[str, object], fault: str) -> None:
    with pytest.raises(ValidationError, match=fault):
        rule(**says)
