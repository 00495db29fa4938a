"""One history of a store with every kind of correction in it, against the plain store."""

from tests.both_stores import BothStores
from tests.plain_store import Content, Written

FINAL = Written("L-1", "Fe", 1, 0, "final", "2026-05-08", "")
OTHER = Written("L-2", "Mn", 1, 0, "final", "2026-05-08", "")
THIRD = Written("L-3", "Fe", 1, 0, "final", "2026-05-08", "")


def differences() -> list[str]:
    """What differs between the store and the plain one; the first difference ends the history."""
    try:
        _history(BothStores())
    except AssertionError as difference:
        return [str(difference) or "the stores differ"]
    return []


def _history(both: BothStores) -> None:
    change = FINAL._replace
    first = both.load(FINAL, FINAL, OTHER)
    tie = both.load(change(value=2))
    fuller = both.load(change(mark="J"))
    both.load(THIRD._replace(mark="J"))
    both.withdraw(both.load(THIRD))  # says less, and points to what says more
    both.withdraw(4)
    both.load(THIRD._replace(value=2))  # nothing contradicts it any more
    second = both.load(change(value=3, revision=2))
    both.load(change(value=4, revision=1))  # an older one, late
    both.load(change(value=1, revision=2, status="preliminary"))
    newest = both.load(change(value=2, revision=2, reported="2026-05-09"))
    both.load(change(value=1, revision=2, reported=""))  # an older one by its date
    rejection = both.load(OTHER._replace(revision=1, status="rejected"))
    for load_id in (newest, second, rejection, first):
        both.withdraw(load_id)
    both.load(change(value=3, revision=2))
    again = both.load(FINAL, FINAL, OTHER)
    both.accept_held(tie, 0)
    both.reject(("L-2", "Manganese"), Content(1, 0, "final", "2026-05-08", ""))
    both.load(OTHER)
    for meaning in (1, 2, 0):
        both.mean("Fe", meaning)
        both.read_again(again)
        both.read_again(fuller)
