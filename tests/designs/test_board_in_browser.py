"""The drawing board in Chromium: by thumb, by keyboard, by mouse, and without script."""

import pytest
from playwright.sync_api import Page, expect

from habitats.designs.models.designs import Design
from habitats.structure.design import PanelSize
from habitats.structure.lattice import Cell

SQUARE = {"panel": PanelSize(330)}


@pytest.fixture
def open_board(live_server):
    """`open_board(page, design)`: the board, once its script is ready."""

    def open_(page: Page, design: Design, query: str = "") -> Page:
        page.goto(f"/designs/{design.code}/board/{query}")
        return page

    return open_


def cell(page: Page, row: int, col: int):
    return page.get_by_role("button", name=f"Row {row + 1}, column {col + 1}", exact=True)


def figure(page: Page, name: str) -> str:
    value = page.locator(f"#figures div:has(dt:text-is('{name}')) .figure")
    return value.inner_text().replace("\xa0", " ")


def cells_of(design: Design, level: int = 0) -> set[tuple[int, int]]:
    shape = Design.objects.get(pk=design.pk).shape()
    return {tuple(one) for one in shape.levels[level].cells}


def has_no_sideways_scroll(page: Page) -> bool:
    return page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_figures_and_view_change_with_each_step_in_one_round_trip(desktop, open_board, make_drawn):
    page = open_board(desktop, make_drawn(["##"], **SQUARE))
    before = page.locator("#corner").inner_html()
    asked = []
    page.on("request", lambda request: asked.append(request.url))

    cell(page, 0, 2).click()
    expect(page.locator("#figures")).to_contain_text("8 wall")

    assert page.locator("#corner").inner_html() != before
    assert len(asked) == 1


def test_undo_and_redo_by_button_and_by_key(desktop, open_board, make_drawn):
    design = make_drawn(["##"], **SQUARE)
    page = open_board(desktop, design)
    cell(page, 0, 2).click()
    expect(cell(page, 0, 2)).to_have_attribute("aria-pressed", "true")

    page.keyboard.press("Control+z")
    expect(cell(page, 0, 2)).to_have_attribute("aria-pressed", "false")
    page.keyboard.press("Control+Shift+z")
    expect(cell(page, 0, 2)).to_have_attribute("aria-pressed", "true")
    page.get_by_role("button", name="Undo").click()
    expect(cell(page, 0, 2)).to_have_attribute("aria-pressed", "false")

    assert cells_of(design) == {(0, 0), (0, 1)}


def test_the_keyboard_alone_draws_and_keeps_its_place(desktop, open_board, make_drawn):
    design = make_drawn(["##"], **SQUARE)
    page = open_board(desktop, design)
    cell(page, 0, 0).focus()

    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Space")
    expect(cell(page, 1, 1)).to_have_attribute("aria-pressed", "true")
    expect(cell(page, 1, 1)).to_be_focused()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Space")
    expect(cell(page, 0, 2)).to_have_attribute("aria-pressed", "true")

    assert cells_of(design) == {(0, 0), (0, 1), (1, 1), (0, 2)}


def test_the_focus_stays_on_the_cell_when_the_drawing_grows_north(desktop, open_board, make_drawn):
    page = open_board(desktop, make_drawn(["##"], **SQUARE))
    cell(page, -1, 1).focus()

    page.keyboard.press("Space")

    expect(cell(page, 0, 1)).to_be_focused()
    expect(cell(page, 1, 1)).to_have_attribute("aria-pressed", "true")


def test_the_plan_is_one_stop_of_the_tab_key(desktop, open_board, make_drawn):
    page = open_board(desktop, make_drawn(["##", "##"], **SQUARE))

    stops = page.locator("#grid button:not([tabindex='-1'])")

    expect(stops).to_have_count(1)


def test_a_mouse_pulls_a_stroke_over_many_cells(desktop, open_board, make_drawn):
    design = make_drawn(["##"], **SQUARE)
    page = open_board(desktop, design)
    start, end = cell(page, 1, 0).bounding_box(), cell(page, 1, 2).bounding_box()

    page.mouse.move(start["x"] + 10, start["y"] + 10)
    page.mouse.down()
    page.mouse.move(end["x"] + 10, end["y"] + 10, steps=8)
    page.mouse.up()
    expect(cell(page, 1, 2)).to_have_attribute("aria-pressed", "true")

    assert cells_of(design) == {(0, 0), (0, 1), (1, 0), (1, 1), (1, 2)}
    assert Design.objects.get().current.number == 2


def test_quick_taps_all_count_even_while_the_drawing_moves(phone, open_board, make_drawn):
    design = make_drawn(["###"], **SQUARE)
    page = open_board(phone, design)

    page.evaluate(
        """() => {
            for (const id of ["at-n1-0", "at-n1-1", "at-1-2"]) document.getElementById(id).click();
        }"""
    )
    expect(page.locator("#grid button[aria-pressed=true]")).to_have_count(6)

    # One row was added in the north, so what was row 1 is row 2 now.
    assert cells_of(design) == {(1, 0), (1, 1), (1, 2), (0, 0), (0, 1), (2, 2)}


def test_a_divider_is_stood_on_an_edge_and_taken_away(phone, open_board, make_drawn):
    design = make_drawn(["##", "##"], **SQUARE)
    page = open_board(phone, design, "?tool=dividers")
    edge = page.get_by_role("button", name="Row 1, column 1, east edge")

    edge.tap()
    expect(edge).to_have_attribute("aria-pressed", "true")
    expect(page.locator("#figures")).to_contain_text("1 divider")
    edge.tap()
    expect(edge).to_have_attribute("aria-pressed", "false")

    assert not Design.objects.get().shape().dividers


def test_a_refused_size_stands_beside_its_field_and_the_drawing_stays(
    desktop, open_board, make_drawn
):
    page = open_board(desktop, make_drawn(["##"], **SQUARE))
    page.locator("#set-panel > summary").click()

    page.get_by_label("Panel, joint to joint").fill("5 m")
    page.get_by_role("button", name="Save panels").click()

    expect(page.locator("#set-panel .errorlist")).to_contain_text("5 000 mm is not allowed")
    assert Design.objects.get().shape().panel.size_mm == 330


def test_what_is_unfolded_stays_so_after_a_step(desktop, open_board, make_drawn):
    page = open_board(desktop, make_drawn(["##"], **SQUARE))
    page.locator("#set-tray > summary").click()

    cell(page, 0, 2).click()
    expect(page.locator("#figures")).to_contain_text("8 wall")

    expect(page.locator("#set-tray")).to_have_attribute("open", "")
    expect(page.locator("#set-guards")).not_to_have_attribute("open", "")


@pytest.mark.parametrize("screen", ["phone", "desktop"])
def test_one_tap_leads_from_a_setting_back_to_the_plan(
    screen, open_page, coordinator, open_board, make_drawn
):
    page = open_board(open_page(coordinator, screen=screen), make_drawn(["##"], **SQUARE))
    page.locator("#set-about > summary").click()
    tools = page.get_by_role("navigation", name="Drawing tools")
    expect(tools).to_be_visible(visible=screen == "desktop")

    page.get_by_role("link", name="Back to drawing").click()

    expect(page.locator("#set-about")).not_to_have_attribute("open", "")
    expect(tools).to_be_in_viewport()
    expect(page.locator("#plan-box")).to_be_in_viewport(ratio=0.9)


def test_a_server_that_does_not_answer_is_said_and_the_drawing_stays(
    open_page, coordinator, open_board, make_drawn, said
):
    page = open_board(open_page(coordinator), make_drawn(["##"], **SQUARE))
    page.route("**/board/rectangle/", lambda route: route.abort())

    cell(page, 0, 2).click()

    expect(page.get_by_role("alert")).to_contain_text("did not reach the server")
    expect(cell(page, 0, 2)).to_have_attribute("aria-pressed", "false")
    said.clear()  # the browser tells its console of the lost request, as it should


def test_a_change_is_read_aloud(desktop, open_board, make_drawn):
    page = open_board(desktop, make_drawn(["##"], **SQUARE))

    cell(page, 0, 2).click()

    expect(page.locator("#announce")).to_contain_text("Cell drawn. Floor, ground")


def test_without_script_the_same_buttons_draw(open_page, coordinator, open_board, make_drawn):
    design = make_drawn(["##"], **SQUARE)
    page = open_board(open_page(coordinator, screen="phone", script=False), design)

    cell(page, 0, 2).tap()
    page.locator("#set-level > summary").tap()
    page.get_by_role("button", name="Copy level up").tap()
    page.get_by_role("link", name="Ground").tap()
    page.locator("#set-level > summary").tap()
    page.locator("#set-plan > summary").tap()
    page.get_by_label("Plan of this level").fill("####\n####")
    page.get_by_role("button", name="Draw plan").tap()
    page.get_by_role("button", name="Lid: off").tap()
    page.get_by_role("button", name="Lid: on").wait_for()

    shape = Design.objects.get().shape()
    assert (len(shape.ground.cells), len(shape.levels[1].cells), shape.lid) == (8, 3, True)
    assert Cell(1, 3) in shape.ground.cells


@pytest.mark.parametrize("tool", ["floor", "dividers", "ramps"])
def test_targets_of_the_plan_hold_48_pixels_on_a_phone(phone, open_board, make_drawn, tool):
    design = make_drawn(["####", "####"], upper=["..##", "...."], **SQUARE)
    page = open_board(phone, design, f"?level=1&tool={tool}")

    sizes = page.eval_on_selector_all(
        "#grid button",
        "all => all.map(one => [one.getBoundingClientRect().width, one.offsetHeight])",
    )

    # An edge's target is a diamond: the square in it, turned, has the side of its width over √2.
    inside = 2**0.5 if tool != "floor" else 1
    assert sizes
    assert min(min(width, height) / inside for width, height in sizes) >= 48


def test_a_large_drawing_scrolls_in_its_own_box(phone, open_board, make_drawn):
    page = open_board(phone, make_drawn(["#" * 24] * 24, **SQUARE))

    box = page.locator("#plan-box")

    assert has_no_sideways_scroll(page)
    assert box.evaluate("one => one.scrollWidth > one.clientWidth")
    expect(page.locator("#corner svg").first).to_be_visible()
