"""What one line of a custody sheet says once it is read, and how two such lines are compared."""

import hashlib
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from pipeline.vocabulary import Severity

SEPARATOR = ";"
"""What stands between the analyses that a line asks for."""


@dataclass(frozen=True, slots=True)
class SampleFinding:
    """What the reading says of a line, in plain words, and what to do."""

    rule_id: str
    severity: Severity
    message: str
    remedy: str


@dataclass(frozen=True, slots=True)
class SampleContent:
    """What one line says, read. Texts are ``''`` and times ``None`` where it says nothing.

    Parameters
    ----------
    requested
        Analytes that are asked for; empty where everything planned is.
    revision, issued_on
        By which a corrected sheet is newer than the one before.
    """

    sample: str
    laboratory_sample: str
    laboratory: str
    bottle: str
    sample_point: str
    sampler: str
    collected_text: str
    collected_at: datetime | None
    collected_on: date
    relinquished_text: str
    relinquished_at: datetime | None
    relinquished_on: date | None
    received_text: str
    received_at: datetime | None
    received_on: date | None
    purpose: str
    confirmation_of: str
    repeat_of: str
    split_of: str
    requested_text: str
    requested: tuple[str, ...]
    comment_text: str
    revision: Decimal | None
    issued_on: date | None

    @property
    def key_hash(self) -> str:
        """Fingerprint of what makes two lines tell of the same bottle: sample, laboratory and bottle mark."""
        return _fingerprint(self.sample, self.laboratory, self.bottle)

    def parts(self) -> dict[str, str]:
        """What the line says beside its key, part by part, as it is compared; how new the sheet is does not count."""
        return {
            "laboratory sample": self.laboratory_sample,
            "sample point": self.sample_point,
            "sampler": self.sampler,
            "collected": moment_text(self.collected_at, self.collected_on),
            "relinquished": moment_text(self.relinquished_at, self.relinquished_on),
            "received": moment_text(self.received_at, self.received_on),
            "purpose": self.purpose,
            "confirmation of": self.confirmation_of,
            "repeat of": self.repeat_of,
            "split of": self.split_of,
            "requested": SEPARATOR.join(sorted(self.requested)),
            "comment": self.comment_text,
        }

    @property
    def content_hash(self) -> str:
        """Fingerprint of everything that a correction may change."""
        return _fingerprint(*self.parts().values(), str(self.revision or ""), str(self.issued_on or ""))

    @property
    def filled(self) -> int:
        """How many parts the line fills."""
        return sum(bool(part) for part in self.parts().values())

    def completes(self, other: "SampleContent") -> bool:
        """Whether this line says all that the other does and leaves nothing of it out: a sheet filled in further."""
        own = self.parts()
        return all(own[name] == said for name, said in other.parts().items() if said)


def moment_text(at: datetime | None, on: date | None) -> str:
    """A time as it is compared: the instant where it is known, else the day; empty where neither is."""
    return at.isoformat() if at else on.isoformat() if on else ""


def _fingerprint(*parts: str) -> str:
    return hashlib.sha256("\x1f".join(parts).encode()).hexdigest()
