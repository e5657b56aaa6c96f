"""The page of starter designs: what they hold and cost, and copying one."""

import uuid

import pytest

from habitats.designs.models.designs import Design
from habitats.rescue.models.rescue import Rescue
from habitats.structure.design import PanelSize
from tests.support.builds import planner
from tests.support.designs import make_design
from tests.support.store import make_item, make_pack

PAGE = "/designs/starters/"


@pytest.fixture
def standards(db):
    rescue = Rescue.ours()
    rescue.guinea_pig_rules, rescue.rabbit_rules = "ch-tschv", "de-tvt-rabbit"
    rescue.save()


def copied(coordinating, code="rectangle-2-4", size_mm=350, once=None, **more):
    sent = {"once": once or str(uuid.uuid4()), "code": code, "size_mm": size_mm, "squares": 9}
    return coordinating.post(f"{PAGE}copy/", sent | more)


def test_each_starter_says_what_it_holds_by_the_standard_that_was_chosen(
    coordinating, standards, text_of
):
    page = text_of(coordinating.get(PAGE))

    # 0.98 m² of floor: 0.5 m² for two and 0.2 m² for each further one (TSchV Annex 2, Table 1).
    after = page[page.index("Rectangle, 2 × 4") :]
    assert after.index("nough for 4 guinea pigs") < after.index("Rectangle, 2 × 5")
    assert "Swiss animal welfare ordinance" in page


def test_without_standards_the_page_says_where_to_choose_them(coordinating, text_of):
    page = text_of(coordinating.get(PAGE))

    assert "choose a space standard for guinea pigs and rabbits" in page
    assert "nough for" not in page


def test_starters_are_for_the_panel_that_is_asked_for_else_for_that_of_the_newest_design(
    coordinating, text_of
):
    def panel(address):
        return coordinating.get(address).context["page"].panel

    assert panel(PAGE) == PanelSize(350, 9)
    Design.objects.draw(make_design(panel=PanelSize(402, 10)), by=planner())
    assert panel(PAGE) == PanelSize(402, 10)
    assert panel(f"{PAGE}?size_mm=300&squares=8") == PanelSize(300, 8)


def test_a_panel_out_of_bounds_is_refused_beside_the_field(coordinating, text_of):
    response = coordinating.get(f"{PAGE}?size_mm=20&squares=9")

    assert response.status_code == 422
    assert "Rectangle, 2 × 4" in text_of(response)


def test_a_copy_is_a_design_of_the_rescue_on_the_drawing_board(coordinating, text_of):
    once = str(uuid.uuid4())

    for _time in range(2):
        response = copied(coordinating, once=once)

    made = Design.objects.get()
    assert response["Location"] == f"/designs/{made.code}/board/"
    assert (made.name, made.shape().panel) == ("Rectangle, 2 × 4", PanelSize(350, 9))
    assert not made.faults()


@pytest.mark.parametrize(
    "wrong", [{"code": "castle"}, {"size_mm": "x"}, {"size_mm": 5}, {"code": "ramp" * 20}]
)
def test_what_is_no_starter_is_not_copied(coordinating, wrong):
    assert copied(coordinating, **wrong)["Location"] == PAGE
    assert not Design.objects.exists()


def test_starters_of_a_store_without_prices_warn_of_none(coordinating, text_of):
    page = text_of(coordinating.get(PAGE))

    assert "no prices yet" in page
    assert "price unknown" not in page


def test_starters_say_for_how_many_things_the_price_is_unknown(coordinating, text_of):
    make_pack(make_item(panel_mm=350), 12, "24.00")

    page = text_of(coordinating.get(PAGE))

    assert "price unknown for" in page


def test_the_page_asks_few_questions_of_the_database(coordinating, django_assert_max_num_queries):
    coordinating.get(PAGE)

    with django_assert_max_num_queries(11):
        coordinating.get(PAGE)
