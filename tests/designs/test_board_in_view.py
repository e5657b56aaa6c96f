"""What the board tells while somebody draws: how many it holds, its home, what mends it, advice."""

import re
import time
from pathlib import Path

import pytest
from django.urls import reverse

from builds.designs.pages.advice import LINES
from habitats.homes.models.homes import Home
from habitats.rescue.models.rescue import Rescue
from habitats.structure.design import PanelSize, Species
from habitats.structure.lattice import Side
from tests.support.designs import ramp_from

STRUCTURE = Path(__file__).parents[2] / "habitats" / "structure"

LOFT = {"upper": ["....##", "....##"], "ramps": (ramp_from(0, 4, Side.W),)}
LONG = ["######", "######"]


@pytest.fixture
def board(client_of, coordinator):
    """`board(design, level=1)`: the words of the board, on one line."""
    client = client_of(coordinator)

    def text(design, **query) -> str:
        response = client.get(reverse("builds:board", args=[design.code], query=query or None))
        return words_of(response)

    return text


def words_of(response) -> str:
    plain = re.sub(r"<[^>]+>", " ", response.content.decode())
    return " ".join(plain.replace("\xa0", " ").replace("&#x27;", "'").split())


@pytest.fixture
def follow():
    """`follow(guinea_pig_rules="…")`: the space standards that the rescue has chosen."""

    def choose(**rules: str) -> None:
        Rescue.ours()
        Rescue.objects.update(**rules)

    return choose


@pytest.fixture
def home(coordinator):
    return Home.objects.take_on(
        by=coordinator,
        name="Ada",
        area="Northside",
        largest_width_mm=1500,
        largest_depth_mm=1000,
    )


def test_without_a_standard_one_is_to_be_chosen(board, make_drawn):
    assert "Holds Choose the space standard you follow" in board(make_drawn())


def test_the_board_says_how_many_it_holds_by_the_chosen_standard(board, make_drawn, follow):
    # Humane Society of the United States, preferred: 10.5 sq ft (0.98 m²) for two, 13 sq ft
    # (1.21 m²) for three. The floor is 1 420 x 710 mm, 1.008 m².
    follow(guinea_pig_rules="us-rescue-preferred")

    text = board(make_drawn())
    assert "Holds 2 guinea pigs" in text
    assert "(Humane Society of the United States, preferred)" in text
    assert "; for 3: 0.20 m² more floor (" in text


def test_another_species_is_told_only_where_it_holds_any(board, make_drawn, follow):
    # UK companion rabbits: 3 m x 2 m, 1 m high, for two. 4 x 2 panels of 355 mm are too small.
    follow(guinea_pig_rules="us-rescue-preferred", rabbit_rules="uk-companion-rabbit")

    assert "rabbit" not in board(make_drawn())


def test_a_rabbits_room_that_is_too_small_says_so(board, make_drawn, follow):
    follow(rabbit_rules="uk-companion-rabbit")

    assert "Holds no rabbit: too small" in board(make_drawn(species=Species.RABBIT))


def test_what_is_to_be_mended_stands_beside_the_drawing_and_leads_to_its_advice(board, make_drawn):
    text = board(make_drawn(["####", "####"], upper=["#...", "#..."]))

    assert "To do Level without a ramp ; Floor that no hand reaches: needs a front door" in text
    assert "To do" not in board(make_drawn())


def test_floor_and_parts_stand_beside_it(board, make_drawn):
    # 4 x 2 panels of 355 mm, inside rounded down to 10 mm: 1 420 x 710; 12 in the walls.
    text = board(make_drawn())

    assert "Floor 1.00 m²" in text
    assert "Parts 12 panels, 24 connectors" in text


@pytest.mark.parametrize(
    ("plan", "words"),
    [
        (["####", "####"], "Ada, Northside Fits: at most 1 500 mm × 1 000 mm"),
        (["##"] * 4, "Ada, Northside Fits: at most"),
        (LONG, "Ada, Northside Too large: 2.13 m × 0.71 m, at most 1 500 mm × 1 000 mm"),
    ],
)
def test_a_design_is_held_against_the_home_that_it_is_for(board, make_drawn, home, plan, words):
    assert words in board(make_drawn(plan), home=home.code)


def test_the_home_goes_along_with_every_step(take, make_drawn, home):
    response = take(make_drawn(["##"]), "cells", cell="0,2", home=home.code)

    assert response.url.endswith(f"&home={home.code}")


def test_a_home_is_searched_by_its_name(board, make_drawn, home, coordinator):
    assert "For Ada, Northside" in board(make_drawn(), home="ada")
    assert "No open home has this name or code." in board(make_drawn(), home="nobody")

    Home.objects.take_on(by=coordinator, name="Adam")
    several = board(make_drawn(), home="ada")
    assert "Ada, Northside Adam" in several
    assert "For Ada" not in several


def test_a_home_that_nobody_measured_says_so(board, make_drawn, coordinator):
    unknown = Home.objects.take_on(by=coordinator, name="Bo")

    assert "Bo Largest footprint not measured" in board(make_drawn(), home=unknown.code)


# --- What mends it ---


def test_a_fault_stands_with_the_button_that_mends_it(board, take, make_drawn, shape_of):
    design = make_drawn(LONG, lid=True, **LOFT)
    text = board(design)

    assert "Make the walls higher, or leave the lid off." in text
    assert "Make ground walls 2 high" in text
    assert "Leave the lid off" in text
    assert take(design, "remedy", remedy="tiers-0-2").status_code == 302
    assert shape_of(design).ground.wall_panels == 2
    assert "Cannot be made yet" not in board(design)


def test_a_new_level_asks_for_its_first_cell_and_nothing_is_wrong_yet(board, take, make_drawn):
    design = make_drawn(LONG)
    take(design, "add-level")

    there = board(design, level=1)

    assert "Draw the first cell of the new level." in there
    assert "Remove level 1" in there
    assert "Cannot be made yet" not in there
    assert "Of the last drawing" not in there
    assert "Draw the first cell of the new level" in board(design, level=0)


def test_what_mends_nothing_any_more_is_refused_in_words(take, make_drawn, shape_of):
    design = make_drawn(["##"])

    response = take(design, "remedy", remedy="join-0")

    assert response.status_code == 422
    assert "That is no longer needed" in words_of(response)
    assert design.revisions.count() == 1


def test_a_cell_of_another_level_of_that_height_is_refused_with_the_other_height(
    take, make_drawn, shape_of
):
    design = make_drawn(LONG, **LOFT)
    take(design, "add-level")
    take(design, "level", level="2", tiers="1", z="1")

    response = take(design, "rectangle", level="2", cell="0,5")

    assert response.status_code == 422
    assert "Put level 2 at height 2" in words_of(response)
    take(design, "level", level="2", z="2", tiers="1")
    assert shape_of(design).levels[2].z == 2


# --- The whole drawing ---


def test_a_rectangle_is_drawn_and_cleared(take, make_drawn, shape_of):
    design = make_drawn(["##"])

    take(design, "rectangle", corners="0,2 2,4")
    assert len(shape_of(design).ground.cells) == 11

    take(design, "rectangle", corners="2,4 1,2")
    assert len(shape_of(design).ground.cells) == 5


@pytest.mark.parametrize("corners", ["", "0,0", "0,0 1,1 2,2", "here there"])
def test_a_rectangle_needs_two_corners(take, make_drawn, corners):
    assert take(make_drawn(["##"]), "rectangle", corners=corners).status_code == 422


def test_the_drawing_is_turned_mirrored_and_a_level_moved(take, make_drawn, shape_of):
    design = make_drawn(LONG, upper=["#.....", "......"])

    take(design, "turn")
    assert (shape_of(design).rows, shape_of(design).levels[1].cells) == (6, {(0, 1)})
    take(design, "mirror")
    assert shape_of(design).levels[1].cells == {(0, 0)}
    take(design, "move-level", level="1", way="S")
    assert shape_of(design).levels[1].cells == {(1, 0)}
    take(design, "undo")
    assert shape_of(design).levels[1].cells == {(0, 0)}


def test_a_level_moves_in_one_of_four_ways(take, make_drawn):
    assert take(make_drawn(LONG, **LOFT), "move-level", level="1", way="UP").status_code == 422


# --- Advice ---


def test_every_caution_has_its_line():
    sources = [path.read_text() for path in STRUCTURE.glob("*.py")]
    codes = {one for text in sources for one in re.findall(r'Caution\(\s*"([a-z_]+)"', text)}

    assert codes == LINES.keys()


def test_advice_is_one_line_and_the_rest_is_folded(board, make_drawn):
    text = board(make_drawn(LONG, **LOFT))

    assert "Ramp steeper than in a published study A ramp slopes" in text


# --- How long it takes ---

MOST_MS = 150
# What a processor that is shared with other tests takes longer, even of its own time.
SHARED = 2

STEPS = [
    ("rectangle", {"corners": "0,3 1,5"}),
    ("rectangle", {"corners": "2,0 2,1"}),
    ("add-level", {}),
    ("rectangle", {"level": "1", "corners": "0,4 1,5"}),
    ("ramp", {"level": "1", "tool": "ramps", "edge": "0,4,W"}),
    ("lid", {"level": "1", "lid": "on"}),
    ("remedy", {"remedy": "tiers-0-2"}),
    ("turn", {}),
    ("undo", {}),
]


def test_no_answer_takes_long(take, make_drawn, follow):
    """Of the processor's time, the quicker of two: other work on the machine does not count.

    Each has panels of its own, so that nothing of it was worked out before.
    """
    follow(guinea_pig_rules="us-rescue-preferred", rabbit_rules="uk-companion-rabbit")
    took: dict[int, list[float]] = {}
    for size_mm in (351, 353):
        design = make_drawn(["###", "###"], panel=PanelSize(size_mm))
        for number, (step, sent) in enumerate(STEPS):
            begun = time.process_time()
            assert take(design, step, htmx=True, **sent).status_code == 200
            took.setdefault(number, []).append(1000 * (time.process_time() - begun))

    assert max(map(min, took.values())) < SHARED * MOST_MS
