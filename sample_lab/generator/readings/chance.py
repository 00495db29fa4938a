"""Chance for many minutes at once: hashes of whole numbers, worked out in columns.

Each draw depends on the seed, the tag and the minute alone. Only whole-number arithmetic modulo two to the 64 and
divisions by powers of two are used, which give the same bits everywhere and in every version of the library.
"""

import hashlib

import polars as pl

_WORD = 2**64
_GOLDEN = 0x9E3779B97F4A7C15
_FIRST = 0xBF58476D1CE4E5B9
_SECOND = 0x94D049BB133111EB
_PIECE = 2**16


def key_of(*what: object) -> int:
    """The number that stands for what is being drawn, below two to the 64."""
    digest = hashlib.blake2b("\x1f".join(map(str, what)).encode(), digest_size=8).digest()
    return int.from_bytes(digest, "big")


def hashed(steps: pl.Series, key: int) -> pl.Series:
    """Mix each whole number with the key: the finalizer of SplitMix64 (Steele, Lea and Flood, 2014).

    Parameters
    ----------
    steps
        Whole numbers, not negative.
    key
        What is being drawn, from :func:`key_of`.

    Returns
    -------
    polars.Series
        Of unsigned 64-bit numbers.

    Examples
    --------
    The first outputs of the published generator for the seed 0 are those of the steps 1 and 2.

    >>> [f"{word:016x}" for word in hashed(pl.Series([1, 2]), 0)]
    ['e220a8397b1dcdaf', '6e789e6aa1b965f4']
    """
    mixed = steps.cast(pl.UInt64) * pl.Series([_GOLDEN], dtype=pl.UInt64) + pl.Series([key % _WORD], dtype=pl.UInt64)
    for shift, factor in ((30, _FIRST), (27, _SECOND)):
        mixed = (mixed ^ (mixed // 2**shift)) * pl.Series([factor], dtype=pl.UInt64)
    return mixed ^ (mixed // 2**31)


def normal(steps: pl.Series, key: int) -> pl.Series:
    """A nearly standard normal draw for each step: the four quarters of one hash, never beyond 3.5."""
    word = hashed(steps, key)
    quarters = [(word // _PIECE**place % _PIECE).cast(pl.Float64) for place in range(4)]
    total: pl.Series = quarters[0] + quarters[1] + quarters[2] + quarters[3]
    return (total / _PIECE - 2.0) * 1.7320508075688772


def uniform(steps: pl.Series, key: int) -> pl.Series:
    """A uniform draw from 0 up to but not including 1 for each step."""
    return (hashed(steps, key) // 2**11).cast(pl.Float64) / 2**53


def drift(minutes: pl.Series, length: int, key: int) -> pl.Series:
    """Chance that wanders: a normal draw every ``length`` minutes, joined by straight lines."""
    step = minutes // length
    share = (minutes - step * length).cast(pl.Float64) / length
    low, high = normal(step, key), normal(step + 1, key)
    return low + (high - low) * share
