"""An enclosure drawn by mouse and by thumb: how many actions it takes, and that nothing jumps."""

import pytest
from playwright.sync_api import Locator, Page, expect

from habitats.designs.models.designs import Design
from habitats.structure.design import PanelSize
from habitats.structure.lattice import Side
from tests.support.designs import ramp_from

SQUARE = {"panel": PanelSize(352)}
LOFT = {"upper": ["....##", "....##"], "ramps": (ramp_from(0, 4, Side.W),)}


def button(page: Page, row: int, col: int) -> Locator:
    return page.locator(f"#at-{row}-{col}".replace("--", "-n"))


class Mouse:
    """A hand that counts what it does."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.count = 0

    def press(self, what: Locator) -> None:
        self.count += 1
        what.click()

    def drag(self, start: tuple[int, int], end: tuple[int, int]) -> None:
        self.count += 1
        (x, y), (to_x, to_y) = self.middle(start), self.middle(end)
        self.page.mouse.move(x, y)
        self.page.mouse.down()
        self.page.mouse.move(to_x, to_y, steps=6)
        self.page.mouse.up()

    def middle(self, cell: tuple[int, int]) -> tuple[float, float]:
        """Of a cell on the page, also one that lies past the grid."""
        first = button(self.page, 0, 0).bounding_box()
        row, col = cell
        return (
            first["x"] + (col + 0.5) * first["width"],
            first["y"] + (row + 0.5) * first["height"],
        )


class Thumb(Mouse):
    def press(self, what: Locator) -> None:
        self.count += 1
        what.tap()

    def drag(self, start: tuple[int, int], end: tuple[int, int]) -> None:
        self.count += 1
        (x, y), (to_x, to_y) = self.middle(start), self.middle(end)
        self.touch("touchStart", (x, y))
        for part in range(1, 7):
            self.touch("touchMove", (x + (to_x - x) * part / 6, y + (to_y - y) * part / 6))
        # A finger comes to rest before it lifts. After a flick the browser takes a tap for a stop.
        self.page.wait_for_timeout(150)
        self.touch("touchMove", (to_x, to_y))
        self.touch("touchEnd")

    def touch(self, kind: str, *points: tuple[float, float]) -> None:
        if not hasattr(self, "cdp"):
            self.cdp = self.page.context.new_cdp_session(self.page)
        fingers = [{"x": x, "y": y, "id": at} for at, (x, y) in enumerate(points)]
        self.cdp.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": fingers})


@pytest.fixture
def hand_on(phone, desktop):
    """`hand_on(Thumb, design)`: a hand on the board of a design, on the screen that it has."""

    def on(kind: type[Mouse], design: Design, query: str = "") -> Mouse:
        page = phone if kind is Thumb else desktop
        page.goto(f"/designs/{design.code}/board/{query}")
        page.locator("#plan-box.in-hand").wait_for()
        return kind(page)

    return on


def shape_of(design: Design):
    return Design.objects.get(pk=design.pk).shape()


def floor(page: Page, row: int, col: int) -> None:
    """Wait until the cell is floor."""
    expect(button(page, row, col)).to_have_attribute("aria-pressed", "true")


@pytest.mark.parametrize(("kind", "most"), [(Mouse, 12), (Thumb, 16)])
def test_an_l_with_upper_level_ramp_and_lid_takes_few_actions(hand_on, make_drawn, kind, most):
    design = make_drawn(["###", "###"], **SQUARE)
    hand = hand_on(kind, design)
    page = hand.page

    hand.drag((0, 3), (1, 4))
    floor(page, 1, 4)
    hand.drag((2, 0), (2, 1))
    floor(page, 2, 1)
    hand.press(page.get_by_role("button", name="Add level"))
    expect(page.locator("#begun")).to_contain_text("Draw the first cell of the new level.")
    expect(page.locator("#faults")).to_have_count(0)
    hand.drag((0, 3), (1, 4))
    floor(page, 1, 4)
    hand.press(page.get_by_role("link", name="Ramps"))
    hand.press(page.locator("#at-0-3-W"))
    expect(page.locator("#at-0-3-W")).to_have_attribute("aria-pressed", "true")
    hand.press(page.get_by_role("button", name="Lid: off"))
    hand.press(page.get_by_role("button", name="Make ground walls 2 high"))
    expect(page.locator("#faults")).to_have_count(0)

    shape = shape_of(design)
    assert hand.count <= most
    assert (len(shape.ground.cells), len(shape.levels[1].cells)) == (12, 4)
    assert (len(shape.ramps), shape.lid, shape.ground.wall_panels) == (1, True, 2)
    assert not Design.objects.get().faults()


def test_nothing_jumps_when_the_lid_is_tapped(hand_on, make_drawn):
    hand = hand_on(Thumb, make_drawn(["######", "######"], **LOFT, **SQUARE))
    page = hand.page
    page.evaluate("window.scrollTo({top: 300, behavior: 'instant'})")
    before = page.evaluate("[scrollY, document.getElementById('plan-box').offsetTop]")
    plan = button(page, 0, 0).bounding_box()

    hand.press(page.get_by_role("button", name="Lid: off"))
    page.get_by_role("button", name="Lid: on").wait_for()

    assert page.evaluate("[scrollY, document.getElementById('plan-box').offsetTop]") == before
    assert button(page, 0, 0).bounding_box() == plan


@pytest.mark.parametrize("kind", [Mouse, Thumb])
def test_the_plan_stays_where_it_is_when_the_drawing_grows_north_west(hand_on, make_drawn, kind):
    hand = hand_on(kind, make_drawn(["##", "##"], **SQUARE))
    before = button(hand.page, 1, 1).bounding_box()

    hand.drag((-1, -1), (0, 0))
    floor(hand.page, 2, 2)
    after = button(hand.page, 2, 2).bounding_box()

    assert abs(after["x"] - before["x"]) < 2
    assert abs(after["y"] - before["y"]) < 2


def test_a_rectangle_may_begin_and_end_past_the_grid(hand_on, make_drawn):
    design = make_drawn(["##"], **SQUARE)
    hand = hand_on(Mouse, design)

    hand.drag((0, 2), (2, 5))
    floor(hand.page, 2, 5)

    assert len(shape_of(design).ground.cells) == 14


def test_a_rectangle_over_floor_alone_clears_it_and_shows_so_before(hand_on, make_drawn):
    design = make_drawn(["####", "####"], **SQUARE)
    hand = hand_on(Mouse, design)
    page = hand.page
    (x, y), (to_x, to_y) = hand.middle((0, 2)), hand.middle((0, 3))

    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(to_x, to_y, steps=4)
    expect(page.locator("#drawn-size")).to_have_class("drawn-size will-go")
    expect(page.locator("#drawn-size")).to_have_text("704\u00a0mm × 352\u00a0mm")
    page.mouse.up()
    expect(button(page, 0, 3)).to_have_attribute("aria-pressed", "false")

    assert len(shape_of(design).ground.cells) == 6


def test_shift_and_arrows_mark_a_rectangle_that_space_draws(hand_on, make_drawn):
    design = make_drawn(["##"], **SQUARE)
    page = hand_on(Mouse, design).page
    button(page, 1, 0).focus()

    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Shift+ArrowRight")
    expect(page.locator("#drawn-size")).to_be_visible()
    page.keyboard.press("Space")
    floor(page, 1, 2)

    assert len(shape_of(design).ground.cells) == 5


def test_two_fingers_enlarge_the_plan_and_draw_nothing(hand_on, make_drawn):
    design = make_drawn(["###", "###"], **SQUARE)
    hand = hand_on(Thumb, design)
    before = button(hand.page, 0, 0).bounding_box()
    x, y = hand.middle((0, 1))

    hand.touch("touchStart", (x - 20, y))
    hand.touch("touchStart", (x - 20, y), (x + 20, y))
    for apart in (30, 40, 50, 60):
        hand.touch("touchMove", (x - apart, y), (x + apart, y))
    hand.touch("touchEnd")

    assert button(hand.page, 0, 0).bounding_box()["width"] > 1.5 * before["width"]
    assert shape_of(design) == design.shape()


def test_cells_stay_44_pixels_wide_however_small_the_plan_is_made(hand_on, make_drawn):
    page = hand_on(Thumb, make_drawn(["###"], **SQUARE)).page

    for _ in range(4):
        page.get_by_role("button", name="Smaller plan").tap()

    assert button(page, 0, 0).bounding_box()["width"] >= 44


def test_one_finger_pulls_the_paper_where_edges_are_tapped(hand_on, make_drawn):
    design = make_drawn(["######", "######"], **LOFT, **SQUARE)
    hand = hand_on(Thumb, design, "?tool=dividers")
    box = hand.page.locator("#plan-box")
    before = box.evaluate("one => one.scrollLeft")
    seen = box.bounding_box()
    x, y = seen["x"] + seen["width"] - 60, seen["y"] + 60

    hand.touch("touchStart", (x, y))
    for part in range(1, 7):
        hand.touch("touchMove", (x - 20 * part, y))
    hand.touch("touchEnd")

    assert box.evaluate("one => one.scrollLeft") > before + 80
    assert shape_of(design) == design.shape()


def test_plan_and_all_tools_stay_in_view_on_a_phone(hand_on, make_drawn, coordinator):
    coordinator.language = "de"  # whose words are the longer ones
    coordinator.save()
    page = hand_on(Thumb, make_drawn(["######", "######"], **LOFT, **SQUARE)).page

    page.evaluate("window.scrollTo({top: 900, behavior: 'instant'})")

    for what in ("#plan-box", "#facts dl", ".board-bar"):
        expect(page.locator(what)).to_be_in_viewport(ratio=0.99)
    for tool in page.locator(".tools a, #undo, #redo, #lid").all():
        expect(tool).to_be_in_viewport(ratio=0.99)
