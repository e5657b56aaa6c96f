"""The three tables of kinds, tried with kinds that there are not: a hinged door and a post.

What holds for them holds for the next kind: the tables are all that a new kind needs of reading,
editing, building and drawing. The order of work is checked by the checker, which knows no table.
"""

import pytest

from builds.drawing import kinds as drawn
from builds.drawing.corner import corner_picture
from builds.drawing.draft import draft_picture
from builds.drawing.plan import plan_picture
from builds.drawing.signs import double_line
from builds.making import kinds as made
from builds.making.altering.retire import retire
from builds.making.check_order import check_order
from builds.making.groups import evenly
from builds.making.reckoning import plan_of
from habitats.measures import length
from habitats.structure import kinds as what
from habitats.structure.design import Design, Fitting
from habitats.structure.edit import paint, toggle_fitting
from habitats.structure.faults import BadDesign
from habitats.structure.kinds import At, Option
from habitats.structure.lattice import Cell, Joint, Side, wall_place
from habitats.structure.motion import Motion, mirrored, moved
from habitats.structure.read import design_from, document_of
from habitats.structure.standing import span_of
from habitats.structure.structure import raise_structure
from habitats.wording import message
from tests.support.designs import make_design

# These are put up in a module of their own.
NO_PANELS = {what.Role.ANCHOR}
DOOR, POST = "hatch", "post"


def door_panels(design, doors):
    for one in doors:
        yield wall_place(*one.edge, one.z), design.level_at(one.cell, one.z)


def tops_of_posts(_design, posts):
    for one in posts:
        yield Joint(one.row, one.col, one.z + dict(one.options)["tiers"])


WHAT_THEY_ARE = {
    DOOR: what.Kind(
        DOOR,
        "door",
        door_panels,
        in_file="hatches",
        at=At.OUTER_EDGE,
        written=("row", "col", "side", "z"),
        most=4,
        opens=True,
    ),
    POST: what.Kind(
        POST,
        "post",
        lambda _design, _posts: iter(()),
        in_file="posts",
        at=At.JOINT,
        written=("z", "row", "col"),
        most=50,
        options=(Option("tiers", 1, 4, 1),),
        bears=tops_of_posts,
    ),
}
HOW_A_DOOR_IS_MADE = made.Kind(
    message("%(count)d for doors"),
    made.When.WALLS,
    True,
    evenly,
    DOOR,
    message("Hang a door on %(level)s"),
    message("Hold %(panels)s in the gap and press one side's corners in."),
    made.Taking(
        message("Take out the door of %(level)s"),
        message("Open its clips, press the corners out and lift out %(panels)s."),
    ),
    ties=made.Ties(hinge=made.Where.LID_HINGE),
    clips=2,
)
HOW_A_DOOR_IS_DRAWN = drawn.Kind(
    on_floor=double_line, board=DOOR, opening=lambda _structure, _panel: (0.1, 0.9)
)


@pytest.fixture
def made_up(monkeypatch):
    """Two kinds more for the time of a test."""
    for key, row in WHAT_THEY_ARE.items():
        monkeypatch.setitem(what.KINDS, key, row)
    monkeypatch.setitem(made.KINDS, DOOR, HOW_A_DOOR_IS_MADE)
    monkeypatch.setitem(drawn.KINDS, DOOR, HOW_A_DOOR_IS_DRAWN)


def with_door(**changes: object) -> Design:
    return make_design(["####", "####"], hatches=(Fitting(DOOR, 1, 2, Side.S, 0),), **changes)


def with_posts(*spots: tuple[int, int], rows: int = 3) -> Design:
    posts = tuple(Fitting(POST, row, col, None, 0, (("tiers", 1),)) for row, col in spots)
    return make_design(["###"] * rows, upper=["###"] * rows, posts=posts)


def test_every_kind_has_its_row_in_all_three_tables() -> None:
    assert what.KINDS.keys() == drawn.KINDS.keys() == {*what.Role}
    assert made.KINDS.keys() == {*what.Role} - NO_PANELS
    assert all(kind.role == key for key, kind in what.KINDS.items())


def test_without_its_row_a_kind_is_an_unknown_key() -> None:
    document = {**document_of(make_design()), "hatches": []}

    with pytest.raises(BadDesign, match="hatches: Unknown key"):
        design_from(document)


# --- Reading, writing, moving ---


@pytest.mark.usefixtures("made_up")
@pytest.mark.parametrize("make", [with_door, lambda: with_posts((1, 1), (2, 3))])
def test_what_is_written_is_read_again(make) -> None:
    assert design_from(document_of(make())) == make()


@pytest.mark.usefixtures("made_up")
def test_a_kind_is_told_by_its_own_keys_with_its_options() -> None:
    assert document_of(with_door())["hatches"] == [{"row": 1, "col": 2, "side": "S", "z": 0}]
    assert document_of(with_posts((1, 2)))["posts"] == [{"z": 0, "row": 1, "col": 2, "tiers": 1}]
    assert "posts" not in document_of(with_door())


@pytest.mark.usefixtures("made_up")
def test_bounds_of_an_option_are_checked_and_a_missing_one_is_the_usual() -> None:
    document = dict(document_of(with_posts((1, 2))))
    document["posts"] = [{"z": 0, "row": 1, "col": 2}]
    assert design_from(document) == with_posts((1, 2))

    document["posts"] = [{"z": 0, "row": 1, "col": 2, "tiers": 5}]
    with pytest.raises(BadDesign, match=r"posts\[0\]\.tiers: 5 given"):
        design_from(document)


@pytest.mark.usefixtures("made_up")
def test_a_drawing_that_grows_to_the_north_west_takes_its_fittings_along() -> None:
    grown = paint(with_door(), 0, [Cell(-1, 0), Cell(0, -1)], floor=True).design
    (door,) = grown.of_kind(DOOR)
    assert door.edge == (Cell(2, 3), Side.S)

    (post,) = paint(with_posts((1, 2)), 0, [Cell(-1, 0)], floor=True).design.of_kind(POST)
    assert (post.row, post.col) == (2, 2)


@pytest.mark.usefixtures("made_up")
def test_a_fitting_goes_with_its_cell() -> None:
    assert not paint(with_door(), 0, [Cell(1, 2)], floor=False).design.fittings


@pytest.mark.usefixtures("made_up")
def test_four_quarter_turns_and_two_mirrors_leave_all_as_it_was() -> None:
    for design in (with_door(), with_posts((1, 1), (2, 3))):
        assert mirrored(mirrored(design)) == design
        structure = raise_structure(design)
        turned = structure
        for _ in range(4):
            turned = moved(turned, Motion(1))
        assert turned == structure


@pytest.mark.usefixtures("made_up")
def test_a_mirrored_fitting_stands_at_the_other_end() -> None:
    assert mirrored(with_door()).of_kind(DOOR)[0].edge == (Cell(1, 1), Side.S)
    assert mirrored(with_posts((1, 1))).of_kind(POST)[0].col == 2  # of joints 0 to 3


@pytest.mark.usefixtures("made_up")
def test_an_edit_stands_it_and_takes_it_away_and_refuses_what_is_not_its_place() -> None:
    plain = make_design()
    hung = toggle_fitting(plain, DOOR, 0, Cell(0, 1), Side.N)
    assert len(hung.of_kind(DOOR)) == 1
    assert toggle_fitting(hung, DOOR, 0, Cell(0, 1), Side.N) == plain
    with pytest.raises(BadDesign, match="Place it on an outer edge of a level"):
        toggle_fitting(plain, DOOR, 0, Cell(0, 1), Side.E)

    stood = toggle_fitting(plain, POST, 0, Cell(1, 4))
    assert stood.of_kind(POST)[0].options == (("tiers", 1),)


# --- What it does there ---


@pytest.mark.usefixtures("made_up")
def test_a_door_takes_the_place_of_a_wall() -> None:
    structure = raise_structure(with_door())

    (door,) = structure.with_role(DOOR)
    assert door.place == wall_place(Cell(1, 2), Side.S, 0)
    assert structure.places == raise_structure(make_design()).places


@pytest.mark.usefixtures("made_up")
def test_floors_rest_on_posts() -> None:
    under_every_line = [(row, col) for row in (1, 2) for col in range(4)]

    assert span_of(with_posts(), 1) == 3
    assert span_of(with_posts(*under_every_line), 1) == 1


# --- Making and drawing ---


@pytest.mark.usefixtures("made_up")
def test_a_door_is_counted_hung_tied_and_clipped() -> None:
    made_of = plan_of(with_door())
    plain = plan_of(make_design())

    assert made_of.parts.panels.of[DOOR] == 1
    assert made_of.parts.panels.total == plain.parts.panels.total
    assert made_of.parts.count_of("lid-clip") == 2
    assert next(part.note for part in made_of.parts.parts).endswith("1 for doors")
    (hanging,) = (step for step in made_of.steps if step.id.startswith("hatch-"))
    assert hanging.title == "Hang a door on the ground"
    assert {one.what: one.count for one in hanging.adds}.items() >= {
        "plain-panel": 1,
        "lid-clip": 2,
    }.items()


@pytest.mark.usefixtures("made_up")
def test_the_order_with_a_door_holds_by_the_checker() -> None:
    made_of = plan_of(with_door(upper=["...#", "...#"]))

    steps = made_of.steps
    assert check_order(made_of.structure, made_of.blanks, made_of.parts, steps) == []
    ids = [step.id for step in steps]
    assert ids.index("hatch-ground-1") < ids.index("lay-tray-ground")


@pytest.mark.usefixtures("made_up")
def test_a_door_is_taken_out_as_its_row_says() -> None:
    steps = {step.id: step for step in retire(raise_structure(with_door())).steps}

    out = steps["take-hatch-ground-1"]
    assert out.title == "Take out the door of the ground"
    assert any(line.startswith("Open its clips") for line in out.instructions)
    assert {one.what: one.count for one in out.removes}["lid-clip"] == 2


@pytest.mark.usefixtures("made_up")
def test_a_door_is_drawn_on_plan_board_and_view() -> None:
    plain, structure = raise_structure(make_design()), raise_structure(with_door())

    assert plan_picture(structure, 0, lengths=length) != plan_picture(plain, 0, lengths=length)
    assert corner_picture(structure) != corner_picture(plain)
    assert '<path class="hatch" d="M200 200L300 200"/>' in draft_picture(with_door(), 0, ())
