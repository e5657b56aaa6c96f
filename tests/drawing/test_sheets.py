"""Sheets: every piece and cut to scale, numbered, and no number written over another."""

import xml.etree.ElementTree as ET
from decimal import Decimal

import pytest

from builds.cutting.cuts import cut_sequence
from builds.cutting.layout import cut
from builds.cutting.values import Job, StockSheet, WantedPiece
from builds.drawing import sheet_picture

SVG = "{http://www.w3.org/2000/svg}"
NUMBERS = {"tray": "3.1", "strip": "3.2", "wall": "3.12"}
STOCK = StockSheet("plain", 1220, 2440, None, Decimal(1))


@pytest.fixture
def sheet():
    pieces = (
        WantedPiece("tray", 900, 1300),
        WantedPiece("strip", 200, 830, 3),
        WantedPiece("wall", 90, 40, 3),
    )
    return cut(Job(pieces, (STOCK,))).sheets[0]


def texts(picture):
    return [one.text for one in ET.fromstring(picture).iter(f"{SVG}text")]


def test_every_cut_is_numbered_in_order(sheet, lengths):
    written = texts(sheet_picture(sheet, str.title, NUMBERS.__getitem__, lengths=lengths))
    cuts = cut_sequence(sheet)

    assert cuts
    assert {str(one.number) for one in cuts} <= set(written)


def test_every_piece_is_named_with_its_measures(sheet, lengths):
    picture = sheet_picture(sheet, str.title, NUMBERS.__getitem__, lengths=lengths)

    assert texts(picture).count("Tray") == 1
    description = ET.fromstring(picture).findtext(f"{SVG}desc")
    assert description.count("Strip") == sum(one.piece == "strip" for one in sheet.placements)


def test_a_piece_too_small_for_its_name_has_its_number_and_is_told_below(sheet, lengths):
    written = texts(sheet_picture(sheet, str.title, NUMBERS.__getitem__, lengths=lengths))

    assert written.count("3.12") == sum(one.piece == "wall" for one in sheet.placements)
    assert any(words.startswith("Wall, ") for words in written)


def test_the_long_side_lies_across(sheet, lengths):
    root = ET.fromstring(sheet_picture(sheet, str.title, NUMBERS.__getitem__, lengths=lengths))
    _left, _top, width, height = (float(one) for one in root.get("viewBox").split())

    assert width > height


def test_flutes_are_marked_unless_the_sheet_has_none(sheet, lengths):
    assert "flutes" in texts(sheet_picture(sheet, str.title, NUMBERS.__getitem__, lengths=lengths))
    assert "flutes" not in texts(
        sheet_picture(sheet, str.title, NUMBERS.__getitem__, lengths=lengths, flutes=False)
    )
