"""Rows that are not ours to load, by the rules of the layout."""

from functools import partial

import pyarrow as pa
import pyarrow.compute as pc

from pipeline.ingest.layout import Layout, SetAsideRule
from pipeline.ingest.text_columns import TextColumns, respelled, same


def set_aside(columns: TextColumns, layout: Layout) -> pa.Array:
    """The reason for which each row is set aside, by the first rule that means it; ``''`` where none does."""
    reasons = same(columns, "")
    for rule in layout.set_aside:
        texts = columns.named(rule.column)
        if texts is not None:
            reasons = pc.if_else(pc.equal(reasons, ""), respelled(texts, partial(_reason, rule)), reasons)
    return reasons


def _reason(rule: SetAsideRule, text: str) -> str:
    return rule.reason if rule.means(text) else ""
