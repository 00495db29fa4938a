"""Bytes of a delivered text file become text: by their mark, by where their zero bytes stand, or as a layout says."""

import codecs

from pipeline.errors import FileError, Place

BYTE_ORDER_MARKS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
_LOOKED_AT_BYTES = 65_536


def decoded(content: bytes, place: Place, encoding: str = "", *, is_cut: bool = False) -> tuple[str, str]:
    """The text of a file, and the encoding with which it was read.

    Parameters
    ----------
    encoding
        As the layout says; empty to find it: UTF-8 or UTF-16 by mark, UTF-16 without one, UTF-8, else Windows-1252.
    is_cut
        Whether ``content`` is the beginning of a file only: a character that it cuts in two is left out.

    Raises
    ------
    FileError
        When the bytes are not text in that encoding, with the line of the first one that is not.
    """
    if encoding:
        return _strictly(content, encoding, place, is_cut=is_cut), encoding
    for mark, marked in BYTE_ORDER_MARKS:
        if content.startswith(mark):
            return _strictly(content, marked, place, is_cut=is_cut), marked
    unmarked = _utf_16_without_mark(content)
    if unmarked:
        return _strictly(content, unmarked, place, is_cut=is_cut), unmarked
    try:
        return _decode(content, "utf-8", is_cut=is_cut), "utf-8"
    except UnicodeDecodeError:
        return _strictly(content, "cp1252", place, is_cut=is_cut), "cp1252"


def _utf_16_without_mark(content: bytes) -> str:
    """In Latin text nearly every second byte of UTF-16 is zero and few others are; in no other encoding any is."""
    looked_at = content[:_LOOKED_AT_BYTES]
    pairs = len(looked_at) // 2
    first, second = looked_at[: 2 * pairs : 2].count(0), looked_at[1 : 2 * pairs : 2].count(0)
    if second > pairs // 2 and first < pairs // 10:
        return "utf-16-le"
    return "utf-16-be" if first > pairs // 2 and second < pairs // 10 else ""


def _strictly(content: bytes, encoding: str, place: Place, *, is_cut: bool) -> str:
    try:
        return _decode(content, encoding, is_cut=is_cut)
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise FileError(
            f"the bytes are not text in {encoding.upper()}.",
            "Ask the sender for a CSV file in UTF-8, or say the encoding in the layout.",
            Place(place.file, line),
        ) from error


def _decode(content: bytes, encoding: str, *, is_cut: bool) -> str:
    return codecs.getincrementaldecoder(encoding)().decode(content, final=not is_cut)
