"""Chance that depends only on the seed and on what is being drawn, never on the order of drawing.

A value drawn for one sample and analyte stays the same when another analyte is added to the schedule, so a change of
the sample plant shows up only where it was made. Only additions, multiplications and divisions of binary floats are
used, which IEEE 754 defines to the last bit: the files are the same bytes on every machine.
"""

import hashlib
import struct
from dataclasses import dataclass

_UNIFORMS = 12
_WORD = 4


@dataclass(frozen=True, slots=True)
class Noise:
    """Draws for one seed.

    Examples
    --------
    >>> Noise(1).between(0.0, 1.0, "a") == Noise(1).between(0.0, 1.0, "a")
    True
    >>> Noise(1).between(0.0, 1.0, "a") == Noise(2).between(0.0, 1.0, "a")
    False
    """

    seed: int

    def normal(self, *what: object) -> float:
        """A nearly standard normal draw: twelve uniform ones less six, so never beyond six standard deviations."""
        return sum(self._words(_UNIFORMS, what)) / 2**32 - 6.0

    def between(self, low: float, high: float, *what: object) -> float:
        """A uniform draw from ``low`` up to but not including ``high``."""
        (word,) = self._words(1, what)
        return low + (high - low) * (word / 2**32)

    def minutes(self, low_hours: float, high_hours: float, *what: object) -> int:
        """A whole number of minutes between two times in hours."""
        return int(self.between(low_hours * 60, high_hours * 60, *what))

    def _words(self, count: int, what: tuple[object, ...]) -> tuple[int, ...]:
        name = "\x1f".join((str(self.seed), *map(str, what)))
        digest = hashlib.blake2b(name.encode(), digest_size=count * _WORD).digest()
        return struct.unpack(f">{count}I", digest)
