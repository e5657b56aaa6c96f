"""The packet of an alteration: what is new, what serves again, what goes back, step by step."""

import pytest

from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from builds.making.altering.trays import Fate
from builds.packet.paper import Label, Options, Section, packet_of, printed, source_of_alteration
from builds.packet.paper.altering import change_of
from builds.sheets import alteration_as_cut
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.packet.test_flutes import along_on_drawing, along_on_sheets
from tests.support.designs import make_design, ramp_from

RAMP = ramp_from(0, 0, Side.E, panels=3)
STANDING = make_design(["####", "####"], upper=["#...", "#..."], name="Bramble and Nettle")
TARGET = make_design(
    ["####", "####"], upper=["#...", "#..."], ramps=(RAMP,), name="Bramble and Nettle"
)


@pytest.fixture(scope="module")
def change():
    return alter(raise_structure(STANDING), raise_structure(TARGET))


@pytest.fixture(scope="module")
def packet(change):
    label = Label(
        "Bramble and Nettle",
        "K7MXQ2",
        "https://enclosures.example.org/d/K7MXQ2/",
        "25 November 2026",
    )
    order = order_of_alteration(change)
    return packet_of(source_of_alteration(change, order), label, Options(colour=False))


@pytest.fixture(scope="module")
def pages(packet, print_pdf, words_of):
    return words_of(print_pdf(packet))


def test_all_steps_are_printed_in_order(change, packet):
    steps = order_of_alteration(change).steps

    assert [card.step.id for card in packet.cards] == [step.id for step in steps]


def test_what_is_new_and_what_serves_again_are_told_apart(packet):
    new = {one.what: one.count for one in packet.change.new}
    again = {one.what: one.count for one in packet.change.again}

    # Three panels to bend, a doorway panel and two guards, one of them the wall that came off.
    assert new["plain-panel"] == 3 + 1 + 2 - 1
    assert again == {"plain-panel": 1}
    assert packet.change.back == ()


@pytest.fixture(scope="module")
def longer():
    """One row longer: the tray of the ground is cut new, and the old one serves no more."""
    standing = raise_structure(make_design(["####", "####"]))
    change = alteration_as_cut(alter(standing, raise_structure(make_design(["#####"] * 2))))
    label = Label("Bramble", "K7MXQ2", "https://enclosures.example.org/", "25 November 2026")
    source = source_of_alteration(change, order_of_alteration(change))
    return packet_of(source, label, Options())


def test_a_tray_that_is_cut_is_not_one_to_fetch(longer):
    (card,) = (card for card in longer.cards if card.blank)
    told = {part.what: cut_in for part, cut_in in longer.new_parts}

    assert told["ground-tray"] == card.number
    assert told["plain-panel"] == 0
    assert f"cut from sheet in step {card.number}" in " ".join(printed(longer).html.split())


def test_an_old_tray_that_serves_no_more_goes_not_into_the_store(longer):
    assert [one.what for one in longer.change.old_sheet] == ["ground-tray"]
    assert longer.change.back == ()
    (sorting,) = (card for card in longer.cards if card.step.id == "sort-out")
    told = " ".join(sorting.told)
    assert "Old sheet: 1 × Ground tray. Cut off the flat pieces" in told
    assert "Back to the store" not in told


def test_cautions_begin_with_the_animals_that_live_in_it(longer):
    first, second, *_others = (one.sentence for one in longer.cautions)

    assert first.startswith("Before any work at the enclosure its animals move out")
    assert second.startswith("Being moved and noise frighten animals")


def test_only_new_strip_is_cut_from_sheet_under_the_number_of_its_card(packet):
    (strip,) = (card for card in packet.blanks if card.blank.name == "Ramp 1 strip")

    assert strip.number > 1
    assert [name for card in packet.sheets for name, _count in card.pieces] == [
        f"{strip.number} Ramp 1 strip"
    ]


def test_what_is_cut_anew_has_the_flutes_of_its_cut_and_a_tray_cut_down_has_none_told():
    standing = raise_structure(make_design(["###", "###"]))
    options = Options(sections=frozenset({Section.SHEETS, Section.BLANKS}))
    target = raise_structure(make_design(["##", "##"], upper=["##", ".."]))
    change = alteration_as_cut(alter(standing, target))
    label = Label("Bramble", "K7MXQ2", "https://enclosures.example.org/", "25 November 2026")

    source = source_of_alteration(change, order_of_alteration(change))
    packet = packet_of(source, label, options)

    assert {one.level: one.fate for one in change.trays} == {0: Fate.CUT_DOWN, 1: Fate.NEW}
    cut_down, new = sorted(packet.blanks, key=lambda card: card.blank.level)
    assert along_on_sheets(packet) == {new.name: along_on_drawing(new.picture)}
    assert ">flutes<" not in cut_down.picture


def test_tools_that_no_step_takes_are_left_out(change):
    target = make_design(["####", "####"], name="Bramble and Nettle")
    taking = alter(raise_structure(STANDING), raise_structure(target))
    label = Label("Bramble and Nettle", "K7MXQ2", "https://enclosures.example.org/", "today")
    sections = frozenset({Section.PARTS})

    source = source_of_alteration(taking, order_of_alteration(taking))
    packet = packet_of(source, label, Options(sections=sections))

    assert "straight board and two clamps" not in [one.what for one in packet.parts.tools]
    assert packet.ramps == ()


def test_every_new_and_old_part_has_a_box_to_tick(packet):
    html = printed(packet).html.split('<section id="parts"')[1].split("</section>")[0]

    change = packet.change
    parts = len(change.new) + len(change.again) + len(change.back) + len(change.old_sheet)
    assert html.count('class="box') == parts + len(packet.parts.tools)


@pytest.mark.parametrize(
    ("stands", "wanted", "turned"),
    [
        # Connectors that come off with their panels go back as they will sit: nothing to turn.
        (make_design(["####"] * 2), make_design(["#####"] * 2, upper=["#...."] * 2), 0),
        (make_design(["###"] * 2), make_design(["####", "##.."], wall_panels=2), 5),
    ],
)
def test_as_many_connectors_are_to_turn_as_the_steps_turn(stands, wanted, turned):
    change = alter(raise_structure(stands), raise_structure(wanted))
    order = order_of_alteration(change)

    assert change_of(change, order).turned == turned
    assert sum(len(step.turns) for step in order.steps) == turned


def test_the_cover_says_how_the_drawing_lies(pages):
    assert "Packet to alter an enclosure for guinea pigs" in pages[0]
    assert "lies over the enclosure as drawn" in pages[0]


def test_a_step_that_takes_off_says_what_comes_off(pages):
    text = " ".join(pages)

    assert "Comes off: 1 × plain panel, 1 × cable tie" in text
    assert "Let the animals back" in text


def test_cloth_in_use_is_told_where_it_fits(pages):
    assert "Fits where it lies." in " ".join(pages)
