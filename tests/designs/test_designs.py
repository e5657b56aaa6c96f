"""The list, the sheet, and what is done with a whole design."""

import uuid

import pytest
from django.urls import reverse

from habitats.designs.models.designs import Design
from habitats.rescue.models.rescue import Rescue
from habitats.structure.lattice import Side
from tests.support.designs import ramp_from


def text_of(response):
    return response.content.decode().replace("\xa0", " ")


def test_an_empty_list_says_what_to_do_first(coordinating, client_of, builder):
    assert "There are no designs yet" in text_of(coordinating.get("/designs/"))
    assert "A coordinator draws them" in text_of(client_of(builder).get("/designs/"))


def test_designs_are_listed_by_name_with_their_figures(coordinating, make_drawn):
    make_drawn(["##"], name="Under the stairs")
    make_drawn(["###"], name="alcove")

    response = coordinating.get("/designs/")

    names = [card.design.name for card in response.context["list"].cards]
    assert names == ["alcove", "Under the stairs"]
    assert "0.24 m²" in text_of(
        response
    )  # 0.2485, rounded down; 2 x 355 and 355 mm, rounded: 710 x 350


def test_all_designs_of_a_list_are_drawn_to_one_scale(coordinating, make_drawn):
    make_drawn(["#" * 20], name="A long")
    make_drawn(["##"], name="B short")

    listed = coordinating.get("/designs/").context["list"]

    # Eighteen cells of 355 mm more; the bar is one metre.
    long, short = (float(c.picture.split(' width="')[1].split('"')[0]) for c in listed.cards)
    assert long - short == pytest.approx(18 * 0.355 * listed.scale.bar_px, rel=0.02)


def test_many_designs_come_on_several_pages(coordinating, make_drawn):
    for number in range(31):
        make_drawn(["##"], name=f"Number {number:02}")

    first = coordinating.get("/designs/?words=Number")
    second = coordinating.get("/designs/?words=Number&page=2")

    assert len(first.context["list"].cards) == 30
    assert 'href="?words=Number&amp;page=2"' in first.text
    assert [card.design.name for card in second.context["list"].cards] == ["Number 30"]


def test_a_design_says_how_many_it_holds_or_where_a_standard_is_chosen(coordinating, make_drawn):
    address = f"/designs/{make_drawn().code}/"
    without = text_of(coordinating.get(address))
    Rescue.objects.update(guinea_pig_rules="us-rescue-preferred")
    told = " ".join(text_of(coordinating.get(address)).split())

    assert 'href="/rescue/#id_guinea_pig_rules">Choose the space standard you follow' in without
    # 10.5 sq ft (0.98 m²) for two, 13 sq ft (1.21 m²) for three; 4 x 2 panels have 1.008 m².
    assert "Holds <strong>2 guinea pigs</strong>" in told
    assert "For 3: 0.20 m² more floor." in told


def test_a_draft_is_listed_as_one(coordinating, make_drawn):
    make_drawn(["#.#"], name="Two pieces")

    assert "Draft: cannot be made yet" in text_of(coordinating.get("/designs/"))


@pytest.mark.parametrize("words", ["stair", "STAIR", "code"])
def test_a_design_is_found_by_name_or_code(coordinating, make_drawn, words):
    sought = make_drawn(name="Under the stairs")
    make_drawn(name="Alcove")
    words = sought.code.lower() if words == "code" else words

    cards = coordinating.get("/designs/", {"words": words}).context["list"].cards

    assert [card.design for card in cards] == [sought]


def test_finding_nothing_shows_the_way_back(coordinating, make_drawn):
    make_drawn()

    assert "Show all designs" in text_of(coordinating.get("/designs/", {"words": "nowhere"}))


@pytest.mark.parametrize("count", [3, 12])
def test_a_list_asks_the_same_few_questions_for_any_number_of_designs(
    coordinating, make_drawn, django_assert_num_queries, count
):
    for number in range(count):
        make_drawn(["##" + "#" * (number % 3)], name=f"Number {number}")

    # Session, person, how many, designs, any at all, archived.
    with django_assert_num_queries(6):
        assert len(coordinating.get("/designs/").context["list"].cards) == count


def test_a_new_design_begins_as_a_rectangle_on_the_board(coordinating):
    sent = {
        "name": "Alcove",
        "species": "rabbit",
        "size_mm": "33,5 cm",
        "squares": "8",
        "cols": "4",
        "rows": "2",
    }

    response = coordinating.post("/designs/new/", sent)

    design = Design.objects.get()
    assert response.url == f"/designs/{design.code}/board/"
    shape = design.shape()
    assert (shape.rows, shape.cols, shape.panel.size_mm, shape.species) == (2, 4, 335, "rabbit")


def test_a_new_design_without_a_panel_size_is_refused_beside_the_field(coordinating):
    response = coordinating.post("/designs/new/", {"name": "Alcove", "species": "rabbit"})

    assert response.status_code == 422
    assert "size_mm" in response.context["form"].errors
    assert not Design.objects.exists()


def test_the_sheet_tells_floor_runs_heights_parts_ramps_and_steps(coordinating, make_drawn):
    design = make_drawn(
        ["#####", "#####"], upper=["...##", "....."], ramps=(ramp_from(0, 3, Side.W),)
    )

    text = text_of(coordinating.get(f"/designs/{design.code}/"))

    # The ground is 5 x 355 by 2 x 355 mm, rounded: 1 770 x 710.
    for words in (
        "1.25 m²",
        "1 770 mm",
        "355 mm: 20 %, open above: 80 %",
        "Plain panel",
        "25.4°",
        "748 mm",
        "Inspect and sign",
        "#slope_above_study",
    ):
        assert words in text


def test_the_sheet_of_a_draft_names_its_faults_and_has_no_packet(coordinating, make_drawn):
    design = make_drawn(["#.#"])

    text = text_of(coordinating.get(f"/designs/{design.code}/"))

    assert "2 pieces that are not connected" in text
    assert "packet" not in text.replace("no packet", "")


def test_faults_are_told_in_the_readers_units(client_of, make_person, make_drawn):
    # One panel of 355 mm beyond the doorway: 13.98 in, to the sixteenth 14 in.
    design = make_drawn(["##"], upper=[".#"], ramps=(ramp_from(0, 1, Side.W),))
    inches = client_of(make_person("ina", role="coordinator", units="inches"))

    for page in ("", "board/", "packet/"):
        said = text_of(inches.get(f"/designs/{design.code}/{page}"))
        assert "has only 14 in of floor in a straight line" in said
        assert " mm" not in said


def test_a_builder_reads_the_sheet_and_is_offered_nothing_that_changes_it(
    client_of, builder, make_drawn
):
    text = text_of(client_of(builder).get(f"/designs/{make_drawn().code}/"))

    assert "Export file" in text
    for word in ("Rename", "Copy</button>", "Archive</button>", "/board/"):
        assert word not in text


def test_the_short_link_finds_the_sheet_in_either_case(coordinating, make_drawn):
    code = make_drawn().code

    assert coordinating.get(f"/d/{code.lower()}/").url == f"/designs/{code}/"


@pytest.mark.parametrize("name", ["short_link", "design", "board", "design_file", "rename_design"])
def test_an_unknown_code_is_not_found(coordinating, name):
    assert coordinating.get(reverse(f"builds:{name}", args=["NOSUCH"])).status_code == 404


def test_a_copy_is_a_design_of_its_own(coordinating, make_drawn):
    design = make_drawn(name="Alcove")

    coordinating.post(f"/designs/{design.code}/copy/")

    copied = Design.objects.exclude(pk=design.pk).get()
    assert copied.name == "Alcove, copy"
    assert copied.shape().levels == design.shape().levels


def test_copying_twice_by_one_press_makes_one_copy(coordinating, make_drawn):
    design = make_drawn()
    once = coordinating.get(f"/designs/{design.code}/").context["once"]

    for _ in range(2):
        coordinating.post(f"/designs/{design.code}/copy/", {"once": once})

    assert Design.objects.count() == 2


def test_renaming_is_a_step_that_undo_takes_back(coordinating, make_drawn):
    design = make_drawn(name="Alcove")

    coordinating.post(f"/designs/{design.code}/name/", {"name": "Bay"})
    design.refresh_from_db()
    assert (design.name, design.shape().name) == ("Bay", "Bay")

    design.undo()
    assert design.name == "Alcove"


def test_an_archived_design_leaves_the_list_and_comes_back(coordinating, make_drawn):
    design = make_drawn(name="Alcove")

    coordinating.post(f"/designs/{design.code}/archive/")
    assert not coordinating.get("/designs/").context["list"].cards
    assert "Alcove" in text_of(coordinating.get("/designs/archived/"))
    assert coordinating.get(f"/designs/{design.code}/").status_code == 200

    coordinating.post(f"/designs/{design.code}/unarchive/")
    assert len(coordinating.get("/designs/").context["list"].cards) == 1


def test_the_view_of_a_large_design_is_a_part_for_htmx_and_a_page_for_others(
    coordinating, make_drawn
):
    url = f"/designs/{make_drawn(['#' * 12] * 9).code}/view/"

    part = text_of(coordinating.get(url, headers={"HX-Request": "true"}))
    page = text_of(coordinating.get(url, {"corner": "NW"}))

    assert "<html" not in part
    assert "<html" in page
    assert all("<svg" in text and "Pieces of sheet" in text for text in (part, page))


def test_a_draft_that_never_stood_has_no_view(coordinating, make_drawn):
    assert coordinating.get(f"/designs/{make_drawn(['#.#']).code}/view/").status_code == 404


@pytest.mark.parametrize("name", ["Bay\nwindow", "Bay\u2028window", "Bay\x0bwindow", "Bay\x7f"])
def test_a_name_on_two_lines_is_refused_beside_its_field(name, coordinating, make_drawn):
    """A browser sends no line break in a line, but a pasted name may have what else parts lines."""
    drawn = make_drawn(["##"], name="Alcove")

    renamed = coordinating.post(f"/designs/{drawn.code}/name/", {"name": name})
    new = {"name": name, "species": "guinea_pig", "size_mm": "355", "squares": 9}
    begun = coordinating.post("/designs/new/", new | {"cols": 3, "rows": 2})

    for refused in (renamed, begun):
        assert refused.status_code == 422
        assert "Write it on one line" in text_of(refused)
    assert [one.name for one in Design.objects.all()] == ["Alcove"]


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"cols": "0"}, "Enter 1 or more."),
        ({"cols": "-1"}, "Enter 1 or more."),
        ({"rows": "1000000000"}, "Enter 24 or less."),
        ({"cols": "2,5"}, "Enter a whole number."),
        ({"name": "x" * 121}, "Enter 120 characters at most: this has 121."),
        ({"size_mm": "355\t9\t3"}, "is not a length. Write a number, and mm"),
    ],
)
def test_a_new_design_out_of_bounds_says_what_may_be_entered(coordinating, wrong, sentence):
    given = {"name": "Nook", "species": "guinea_pig", "size_mm": "355", "squares": "9"}
    response = coordinating.post(
        "/designs/new/", {**given, "cols": "3", "rows": "2", "once": str(uuid.uuid4()), **wrong}
    )

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not Design.objects.exists()
