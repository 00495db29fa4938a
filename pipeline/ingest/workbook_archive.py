"""Zip archives: the one that a workbook (.xlsx) is, and those that bring several text files as one delivery."""

import io
import re
import zipfile
import zlib
from typing import NamedTuple
from xml.etree import ElementTree

from pipeline.errors import FileError, Place

ZIP_START = b"PK\x03\x04"
LARGEST_UNPACKED_BYTES = 400_000_000
ARCHIVE_DAMAGE = (zipfile.BadZipFile, zlib.error, ElementTree.ParseError, KeyError, EOFError, NotImplementedError)
_TEXT_ENDINGS = (".csv", ".txt", ".tsv")
_OTHER_ARCHIVES = {"xl/workbook.bin": "a binary workbook (.xlsb)", "content.xml": "a document in an open format (.ods)"}
_RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_MERGED = re.compile(rb'<(?:\w+:)?mergeCell\s[^>]*?ref="([A-Z]+\d+:[A-Z]+\d+)"')
_FORMULA = re.compile(rb"<(?:\w+:)?f[ />]")


class Unread(NamedTuple):
    """What a quick look into a sheet finds: its merged areas such as ``A2:A6``, and whether it holds formulas."""

    merged: tuple[str, ...]
    has_formulas: bool


def text_members(content: bytes, place: Place) -> tuple[str, ...]:
    """The text files in an archive; none where it is a workbook.

    Raises
    ------
    FileError
        When the archive holds neither, is damaged, or unpacks to more than 400 MB.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            parts = {part.filename: part.file_size for part in archive.infolist()}
    except ARCHIVE_DAMAGE as error:
        raise damaged(place) from error
    for name, kind in _OTHER_ARCHIVES.items():
        if name in parts:
            raise FileError(f"this is {kind}.", "Save it as .xlsx, or each of its sheets as CSV.", place)
    texts = tuple(name for name in parts if name.casefold().endswith(_TEXT_ENDINGS) and "__MACOSX/" not in name)
    if "xl/workbook.xml" not in parts and not texts:
        raise FileError("this zip archive holds no workbook and no text files.", "Unpack it first.", place)
    if sum(parts.values()) > LARGEST_UNPACKED_BYTES:
        raise FileError(
            f"the archive unpacks to {sum(parts.values()) // 1_000_000:,} MB; the largest that is read has "
            f"{LARGEST_UNPACKED_BYTES // 1_000_000:,} MB.",
            "Save each of its sheets as CSV, or unpack it first.",
            place,
        )
    return () if "xl/workbook.xml" in parts else texts


def member(content: bytes, name: str, place: Place) -> bytes:
    """One file of an archive.

    Raises
    ------
    FileError
        When the archive is damaged.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            return archive.read(name)
    except (*ARCHIVE_DAMAGE, RuntimeError) as error:  # a RuntimeError asks for a password
        raise damaged(place) from error


def damaged(place: Place) -> FileError:
    """The error for a workbook that cannot be read."""
    return FileError(
        "the workbook or zip archive is damaged.", "Open it in a spreadsheet and save it again as .xlsx.", place
    )


def unread(content: bytes) -> dict[str, Unread]:
    """What a quick look into each sheet finds, by the sheet's name; worksheets only.

    Raises
    ------
    KeyError, ElementTree.ParseError
        When the archive is damaged.
    """
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        book = ElementTree.fromstring(archive.read("xl/workbook.xml"))
        relations = ElementTree.fromstring(archive.read("xl/_rels/workbook.xml.rels"))
        part_of = {relation.get("Id"): _in_archive(relation.get("Target", "")) for relation in relations}
        sheets = {sheet.get("name", ""): part_of[sheet.get(_RELATION)] for sheet in book.iter() if _is_sheet(sheet)}
        found = {}
        for name, part in sheets.items():
            written = archive.read(part)
            areas = tuple(area.decode() for area in _MERGED.findall(written))
            found[name] = Unread(areas, bool(_FORMULA.search(written)))
    return found


def _is_sheet(element: ElementTree.Element) -> bool:
    return element.tag.endswith("}sheet")


def _in_archive(target: str) -> str:
    return target.removeprefix("/") if target.startswith("/") else f"xl/{target}"
