"""What a build takes: the part list, as items of the store."""

import pytest

from builds.making.blanks import make_blanks
from builds.making.parts import StoredAs, list_parts
from builds.store.models.needs import all_needs, items_of
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design
from tests.support.sheets import make_kind
from tests.support.store import make_item, make_small_items


@pytest.fixture
def structure():
    return raise_structure(make_design(["####", "####"]))


def test_a_store_without_items_names_all_that_is_missing(db, structure):
    needs = items_of(structure)

    assert needs.lines == ()
    told = " / ".join(needs.missing)
    for words in ("panels of 355 mm with 9 squares", "connector", "tape", "sheets for", "cloth"):
        assert words in told


def test_every_part_is_an_item_with_the_part_lists_numbers(db, structure):
    panel, small, kind = make_item(), make_small_items(), make_kind()
    parts = list_parts(structure, make_blanks(structure))

    needs = items_of(structure)

    assert needs.missing == ()
    assert needs.of(panel) == parts.panels.total
    by_kind = {one.item.kind: one for one in needs.lines}
    assert (by_kind["connector"].count, by_kind["connector"].spare) == next(
        (part.count, part.spare) for part in parts.parts if part.what == "connector"
    )
    assert needs.of(kind.item) >= 1
    assert needs.of(next(one for one in small if one.kind == "cloth")) >= 1
    assert parts.of_kind(StoredAs.CLOTH)


def test_a_panel_of_another_size_or_mesh_does_not_serve(db, structure):
    make_item(panel_mm=356)
    make_item(name="Fine", panel_squares=12)

    assert any("panels of 355 mm" in one for one in items_of(structure).missing)


def test_an_item_that_is_put_away_is_not_taken(db, structure):
    make_item(is_put_away=True)
    wanted = make_item(name="Black panel")

    assert items_of(structure).of(wanted) > 0


def test_a_roll_that_is_too_narrow_for_a_piece_is_not_taken(db, structure):
    make_item(kind="cloth", name="Strip", panel_mm=None, panel_squares=None, cloth_mm=200)

    assert any("cloth for" in one for one in items_of(structure).missing)


def test_needs_of_several_builds_are_added_up(db, structure):
    panel = make_item()
    idempotency_key = items_of(structure)

    both = all_needs([(idempotency_key, 2), (idempotency_key, 1)])

    assert both.of(panel) == 3 * idempotency_key.of(panel)
    assert both.missing == idempotency_key.missing
