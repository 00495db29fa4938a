"""The names that ship with the code, by scope: found quickly, and built once for all plants."""

from collections import defaultdict
from collections.abc import Iterable
from typing import Final

from pipeline.plant.tables import ShippedAlias
from pipeline.written_units import fold_blanks

STOP_LIST: Final = "do not resolve"
ANY_SENDER: Final = "any sender"


def folded(text: str) -> str:
    """Name as it is compared: trimmed, inner blanks folded, without case."""
    return fold_blanks(text).casefold()


class ShippedNames:
    """Every shipped name, by its scope and its text without regard to case and blanks."""

    def __init__(self, names: Iterable[ShippedAlias]) -> None:
        self._rows: dict[tuple[str, str], list[ShippedAlias]] = defaultdict(list)
        for name in names:
            self._rows[folded(name.scope), folded(name.as_written)].append(name)
        self.scopes = frozenset(rows[0].scope for rows in self._rows.values()) - {STOP_LIST, ANY_SENDER}
        """Scopes that a layout may state."""
        self.for_any_sender = {text: rows[0].means for (scope, text), rows in self._rows.items() if scope == ANY_SENDER}
        """Canonical name by each spelling that fits every sender."""

        self.stopped = frozenset(text for scope, text in self._rows if scope == STOP_LIST)
        """Names of the stop list."""

    def rows(self, scope: str, text: str) -> list[ShippedAlias]:
        """Rows of a written name in one scope; none for an empty scope."""
        return self._rows.get((folded(scope), folded(text)), []) if scope else []
