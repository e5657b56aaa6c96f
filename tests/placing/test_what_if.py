"""Questions that change nothing: more enclosures, homes away, more pairs; and the next best."""

import pytest

from habitats.animals.models.groups import Group
from habitats.animals.models.stays import Stay

PAGE = "/placing/"
SMALL, MIDDLE, LARGE = ("##", "##"), ("###", "###"), ("####", "####")


@pytest.fixture
def full(lives, make_animal, make_group, make_home, make_drawn, answer_to, this_day):
    """Two live in the only place that is there, and four wait."""
    answer_to("ch-tschv")
    home = make_home("Wren", most_enclosures=1)
    lives("Ida", "Una", home=home, plan=LARGE, grams=900)
    design = make_drawn(LARGE, name="Two by four")
    make_group(*(make_animal(one, grams=900) for one in ("Fern", "Moss", "Nut", "Pip")))
    return home, design


def test_more_enclosures_are_imagined_and_nothing_is_saved(full, coordinating, text_of):
    _home, design = full
    stays = Stay.objects.count()

    page = coordinating.get(PAGE, {"more": design.code, "number": "1"})
    told = text_of(page)

    assert "1 more “Two by four” in a home of its own" in told
    assert "Groups without a place that suits them: 0 instead of 1." in told
    assert "With a place then: Fern, Moss, Nut and Pip." in told
    (row,) = page.context["page"].rows
    assert row.to == "Two by four, imagined 1, a home of its own"
    assert "Record all moves" not in told
    assert "Check and move" not in told
    assert Stay.objects.count() == stays


def test_in_a_home_that_takes_no_more_they_help_nobody(full, coordinating, text_of):
    home, design = full

    told = text_of(coordinating.get(PAGE, {"more": design.code, "number": "3", "at": home.code}))

    assert "3 more “Two by four” in Wren" in told
    assert "Groups without a place that suits them: 1 instead of 1." in told


def test_a_home_away_leaves_its_groups_without_a_place(full, coordinating, text_of):
    home, _design = full

    page = coordinating.get(PAGE, {"gone": home.code})

    assert "Wren away, with all its enclosures" in text_of(page)
    assert "Without a place then: Ida and Una." in text_of(page)
    assert {row.who: row.reason for row in page.context["page"].waiting} == {
        "Ida and Una": "Their home is away.",
        "Fern, Moss, Nut and Pip": "They have no enclosure.",
    }


def test_so_many_more_pairs_could_be_taken(
    lives, make_home, make_enclosure, coordinating, answer_to, this_day, text_of
):
    # Two in the larger of two enclosures that do for two, and one that is too small for any.
    answer_to("ch-tschv")
    home = make_home("Wren", most_enclosures=4)
    lives("Ida", "Una", home=home, plan=LARGE, grams=900)
    make_enclosure("Snug", home, plan=SMALL)
    make_enclosure("Nook", home, plan=("##",))

    told = text_of(coordinating.get(PAGE, {"pairs": "guinea_pig"}))

    assert "Pairs of guinea pigs that could be taken as everybody lives now: 1." in told


def test_pairs_are_not_counted_without_a_standard(full, coordinating, text_of):
    told = text_of(coordinating.get(PAGE, {"pairs": "rabbit"}))

    assert "Choose a space standard for rabbits first." in told


@pytest.mark.parametrize(
    "wrong",
    [
        {"more": "NOBODY", "number": "3"},
        {"number": "-1", "more": "X"},
        {"gone": "NOWHERE"},
        {"pairs": "cow"},
        {"number": "9" * 30, "more": "X"},
        {"next": "NOBODY"},
    ],
)
def test_what_makes_no_sense_asks_nothing(full, coordinating, wrong):
    assert coordinating.get(PAGE, wrong).status_code == 200


@pytest.fixture
def two_places(make_animal, make_group, make_home, make_enclosure, answer_to, this_day):
    answer_to("ch-tschv")
    home = make_home("Wren", most_enclosures=2)
    make_enclosure("Snug", home, plan=SMALL)
    make_enclosure("Wide", home, plan=MIDDLE)
    return make_group(*(make_animal(one, grams=900) for one in ("Ida", "Una")))


def test_the_next_best_place_is_told_with_what_it_costs(two_places, coordinating, text_of):
    (row,) = coordinating.get(PAGE).context["page"].rows

    page = coordinating.get(PAGE + row.next_address)
    best = page.context["page"].next_best

    assert row.to == "Wide, Wren"
    assert best.words == "Next best: Snug, Wren."
    assert best.costs == "It costs: spare floor is spread less evenly."
    assert "Choose this place instead" in text_of(page)
    (row,) = coordinating.get(PAGE + best.address).context["page"].rows
    assert row.to == "Snug, Wren"


def test_where_there_is_no_other_place_they_wait(
    make_animal, make_group, make_home, make_enclosure, answer_to, coordinating, this_day
):
    answer_to("ch-tschv")
    make_enclosure("Snug", make_home("Wren", most_enclosures=1), plan=SMALL)
    make_group(*(make_animal(one, grams=900) for one in ("Ida", "Una")))
    (row,) = coordinating.get(PAGE).context["page"].rows

    best = coordinating.get(PAGE + row.next_address).context["page"].next_best

    assert (best.words, best.costs) == ("Next best: they wait.", "It costs: 1 group more waits.")
    assert best.address == ""


def test_a_wish_for_a_home_that_is_imagined_away_is_passed_over(full, coordinating, text_of):
    home, _design = full
    four = Group.objects.latest("pk")
    ask = {"stays": f"{four.code}.home-{home.code}", "gone": home.code, "pairs": "guinea_pig"}

    page = coordinating.get(PAGE, ask)

    assert page.context["page"].wishes.rows() == []
    assert "Wren away, with all its enclosures" in text_of(page)
    # Today it stands still.
    assert "stays=" in page.context["what_if"].without


def test_pairs_are_counted_though_a_wish_moves_a_settled_group(
    lives, make_home, make_enclosure, coordinating, answer_to, this_day, text_of
):
    answer_to("ch-tschv")
    home = make_home("Wren", most_enclosures=2)
    two, _animals, _large = lives("Ida", "Una", home=home, plan=LARGE, grams=900)
    small = make_enclosure("Snug", home, plan=SMALL)
    ask = {"stays": f"{two.code}.{small.code}", "pairs": "guinea_pig"}

    told = text_of(coordinating.get(PAGE, ask))

    assert "Pairs of guinea pigs that could be taken as everybody lives now: 1." in told
