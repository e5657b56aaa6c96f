"""Builds that the page of a placing proposes, with their cost, and has planned."""

import uuid

import pytest

from builds.plans.models.builds import Build
from builds.store.models.stock import Movement
from tests.support.pulls import stock_up

PAGE = "/placing/"
BUILD = "/placing/build/"
SMALL, LARGE = ("##", "##"), ("####", "####")


@pytest.fixture
def waiting(make_animal, make_group, make_home, make_drawn, answer_to, this_day):
    """Four wait, no enclosure stands, and a home has room for one."""
    answer_to("ch-tschv")
    home = make_home("Wren", most_enclosures=1, largest_width_mm=1500, largest_depth_mm=800)
    make_drawn(LARGE, name="Two by four")
    make_drawn(("######", "######"), name="Longer than the wall")
    make_drawn(SMALL, name="Two by two")
    group = make_group(*(make_animal(one, grams=900) for one in ("Fern", "Moss", "Nut", "Pip")))
    return group, home


def form_of(row, **changes):
    return {"once": str(uuid.uuid4()), "build": row.build.key, "group": row.group, **changes}


def test_a_build_that_fits_the_home_is_a_step_with_its_cost(waiting, coordinating, text_of):
    stock_up()

    page = coordinating.get(PAGE)
    (row,) = page.context["page"].rows

    # 1 420 × 710 mm of 1 500 × 800; the longer one is 2 130 mm, the small one too small for four.
    assert row.build.words == "Build “Two by four” at Wren"
    assert row.build.store == "All parts are in the store."
    assert "Plan this build" in text_of(page)
    # Nobody moves before it stands.
    assert row.is_held
    assert page.context["page"].moves == ()
    assert "Record all moves" not in text_of(page)


def test_what_is_not_in_the_store_is_named(waiting, coordinating):
    stock_up(connector=2)

    (row,) = coordinating.get(PAGE).context["page"].rows

    assert row.build.store.startswith("To buy: ")
    assert "connector" in row.build.store


def test_a_build_is_planned_with_its_material_and_proposed_no_second_time(
    waiting, coordinating, text_of
):
    stock_up()
    _group, home = waiting
    (row,) = coordinating.get(PAGE).context["page"].rows

    page = coordinating.post(BUILD, form_of(row), follow=True)

    build = Build.objects.get()
    assert (build.home, build.name, build.notes) == (
        home,
        "Two by four",
        "For Fern, Moss, Nut and Pip.",
    )
    assert Movement.objects.filter(build=build, reserved_change__gt=0).exists()
    assert "is planned and its material reserved" in text_of(page)
    (row,) = page.context["page"].rows
    assert row.build.words == "“Two by four” is being built for Wren"
    assert row.build.key == ""
    assert row.to == "Two by four, Wren"


def test_a_build_that_is_sent_twice_is_planned_once(waiting, coordinating):
    stock_up()
    form = form_of(coordinating.get(PAGE).context["page"].rows[0])
    coordinating.post(BUILD, form)

    assert coordinating.post(BUILD, form).status_code == 302
    assert Build.objects.count() == 1


def test_a_build_that_is_proposed_no_longer_is_not_planned(waiting, coordinating, text_of):
    _group, home = waiting
    form = form_of(coordinating.get(PAGE).context["page"].rows[0])
    home.most_enclosures = 0
    home.save()

    page = coordinating.post(BUILD, form)

    assert page.status_code == 422
    assert "No longer proposed, and not planned: Two by four at Wren." in text_of(page)
    assert not Build.objects.exists()


@pytest.mark.parametrize("wrong", [{"build": ""}, {"build": "X.Y"}, {"group": "NOBODY"}])
def test_what_is_not_proposed_is_not_planned(waiting, coordinating, wrong):
    form = form_of(coordinating.get(PAGE).context["page"].rows[0], **wrong)

    assert coordinating.post(BUILD, form).status_code == 422
    assert not Build.objects.exists()


def test_a_home_that_nobody_measured_is_asked_about(waiting, coordinating):
    _group, home = waiting
    home.largest_width_mm = home.largest_depth_mm = None
    home.save()

    (row,) = coordinating.get(PAGE).context["page"].rows

    assert row.build.caution == (
        "Nobody has measured Wren: make sure that 1\xa0420\xa0mm × 710\xa0mm fit there."
    )


def test_what_does_not_wait_for_the_build_is_recorded_without_it(
    waiting, lives, make_home, make_enclosure, coordinating, text_of, day
):
    # Three in a floor for two; their own home has a place for them.
    home = make_home("Elm", most_enclosures=2)
    three, _animals, _tight = lives("Ida", "Una", "Ada", home=home, plan=SMALL, grams=900)
    make_enclosure("Wide", home, plan=("###", "###"))

    page = coordinating.get(PAGE)

    rows = page.context["page"].rows
    assert [(row.who, row.is_held) for row in rows] == [
        ("Ada, Ida and Una", False),
        ("Fern, Moss, Nut and Pip", True),
    ]
    assert "1 group that waits for something else is not among them." in text_of(page)
    page = coordinating.post(PAGE, {"proposal": page.context["page"].proposal}, follow=True)
    assert "1 group moved." in text_of(page)
    assert three.stays.open().get().enclosure.label == "Wide"
    assert len(page.context["page"].rows) == 1


def test_the_build_is_drawn_where_nothing_stands_yet(waiting, coordinating, text_of):
    ((home, enclosures),) = coordinating.get(PAGE).context["page"].homes

    assert str(home) == "Wren"
    assert enclosures[0].now is None
    assert "Fern" in enclosures[0].then.who


def test_pairs_are_counted_while_a_group_is_wanted_in_what_is_being_built(
    waiting, coordinating, text_of
):
    group, _home = waiting
    (row,) = coordinating.get(PAGE).context["page"].rows
    coordinating.post(BUILD, form_of(row))
    place = f"build-{Build.objects.get().code}"

    page = coordinating.get(PAGE, {"stays": f"{group.code}.{place}", "pairs": "guinea_pig"})

    assert "Pairs of guinea pigs that could be taken as everybody lives now: 0." in text_of(page)


def test_several_builds_are_told_to_share_one_store(
    waiting, make_animal, make_group, make_home, coordinating, text_of
):
    sentence = "All 2 builds together: "
    assert sentence not in text_of(coordinating.get(PAGE))

    make_home("Elm", most_enclosures=1)
    make_group(*(make_animal(one, grams=900) for one in ("Ida", "Una")))

    assert sentence in text_of(coordinating.get(PAGE))
