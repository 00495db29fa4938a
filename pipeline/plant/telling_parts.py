"""What in a written name may not be taken for a slip of the pen: it tells one substance or fraction from another.

Nitrate and nitrite differ by one letter, PFOS and PFOSA too, and chromium and chromium-6 by a digit that decides about
a limit. Two spellings may be taken for one name only where all of their telling parts are the same.
"""

import re
from difflib import SequenceMatcher
from typing import Final

from pipeline.plant.shipped_names import folded

SHORT_NAME_LETTERS: Final = 6
"""Names of so few letters are abbreviations or close to one: any letter of them can be another substance."""

_WORD = re.compile(r"[a-z]+")
_DIGITS = re.compile(r"[0-9]+")
_SINGLE_LETTER = re.compile(r"(?<![a-z])[a-z](?![a-z])")
_ROMAN = re.compile(r"(?<![a-z])(?:i{2,3}|iv|vi{0,3}|ix)(?![a-z])")
_CHARGE = re.compile(r"[+-](?![a-z0-9])")
_ENDING = re.compile(r"(?:ate|ite|ide|ine|ane|ene|yne|one|ole?|al|ium|yl|ic|ous)$")
_BUILDING_BLOCK = re.compile(
    r"ethylid|methylen|ethylen|mono|di|tri|tetra|penta|hexa|hepta|octa|nona|undec|dodec|tridec|deca|per|poly|"
    r"chlor|brom|fluor|iod|nitros|nitr|amin|amid|"
    r"methyl|ethyl|propyl|butyl|pentyl|hexyl|phenyl|vinyl|meth|eth|prop|but|pent|hex|oxy|thio|sulf|sulph|phosph|cyclo|"
    r"benz|naphth|iso|acet|form|acid"
)
_TELLING_WORDS: Final = frozenset(
    (  # noqa: SIM905
        "cis trans alpha beta gamma delta ortho meta para sec tert iso "
        "total dissolved filtered unfiltered filterable suspended particulate recoverable settleable soluble volatile "
        "fixed free available combined residual reactive organic inorganic elemental hexavalent trivalent speciated "
        "apparent true gross adjusted net carbonate noncarbonate field calculated "
        "surrogate sum as and plus minus without except not non fecal thermotolerant somatic specific"
    ).split()
)


def telling_parts(name: str) -> tuple[tuple[str, ...], ...]:
    """Parts of a name that tell it from names that look alike: numbers, letters, isomers, building blocks, endings.

    Examples
    --------
    >>> telling_parts("Nitrate") == telling_parts("Nitrite")
    False
    >>> telling_parts("Benzo[a]pyrene") == telling_parts("Benzo (a) pyrene")
    True
    """
    text = folded(name)
    words = _WORD.findall(text)
    long_words = [word for word in words if len(word) > 2 and word not in _TELLING_WORDS]
    return (
        tuple(_DIGITS.findall(text)),
        tuple(_SINGLE_LETTER.findall(text)),
        tuple(_ROMAN.findall(text)),
        tuple(_CHARGE.findall(text)),
        tuple(sorted(word for word in words if word in _TELLING_WORDS)),
        tuple(block for word in long_words for block in _BUILDING_BLOCK.findall(word)),
        tuple(_ending(word) for word in long_words),
    )


def telling_words(name: str) -> frozenset[str]:
    """Words by which a name narrows a substance down: ``dissolved``, ``VI``, ``cis``."""
    text = folded(name)
    found = {word for word in _WORD.findall(text) if word in _TELLING_WORDS}
    return frozenset(found | set(_ROMAN.findall(text)))


def likeness(first: str, second: str) -> float:
    """How alike two names are written, from 0 to 1."""
    return SequenceMatcher(None, folded(first), folded(second), autojunk=False).ratio()


def can_be_a_slip(written: str, spelling: str) -> bool:
    """Whether a written name may be a slip for a known spelling: word for word alike, with all telling parts the same.

    Examples
    --------
    >>> can_be_a_slip("Manganesse", "Manganese")
    True
    >>> can_be_a_slip("PFOSA", "PFOS"), can_be_a_slip("Chlorate", "Chlorite"), can_be_a_slip("Lead, dissolved", "Lead")
    (False, False, False)
    """
    if _bare(written) == _bare(spelling):
        return telling_parts(written) == telling_parts(spelling)
    if min(len(_bare(written)), len(_bare(spelling))) <= SHORT_NAME_LETTERS:
        return False
    return telling_parts(written) == telling_parts(spelling) and _word_for_word(written, spelling)


def can_be_a_slip_of_a_place(written: str, spelling: str) -> bool:
    """The same for names of places, where numbers and single letters tell one train from another.

    Examples
    --------
    >>> can_be_a_slip_of_a_place("Train A permeatte", "Train A permeate")
    True
    >>> can_be_a_slip_of_a_place("Train B permeate", "Train A permeate")
    False
    """
    first, second = folded(written), folded(spelling)
    same = all(sign.findall(first) == sign.findall(second) for sign in (_DIGITS, _SINGLE_LETTER, _ROMAN))
    return same and _word_for_word(written, spelling)


def _word_for_word(written: str, spelling: str) -> bool:
    first, second = _WORD.findall(folded(written)), _WORD.findall(folded(spelling))
    return len(first) == len(second) and all(_alike(one, other) for one, other in zip(first, second, strict=True))


def _alike(word: str, other: str) -> bool:
    if min(len(word), len(other)) < SHORT_NAME_LETTERS:
        return word == other
    return SequenceMatcher(None, word, other, autojunk=False).ratio() >= 0.85


def _bare(name: str) -> str:
    return re.sub(r"[^a-z0-9]", "", folded(name))


def _ending(word: str) -> str:
    match = _ENDING.search(word)
    return match.group() if match else ""
