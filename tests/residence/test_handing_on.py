"""A foster leaves: what is at the home is handed on in one form; what is not stays listed."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from habitats.linens.models.pools import Pool
from tests.support.builds import make_build

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("this_day")]


@pytest.fixture
def leaving(make_home):
    return make_home("Wren")


def sent(day="2027-03-10", **more):
    return {"day": day, **more}


def post(client, home, **given):
    return client.post(f"/homes/{home.code}/hand-on/", sent(**given), follow=True)


def test_all_goes_in_one_form_and_the_home_can_be_closed(
    coordinating, leaving, lives, make_home, make_enclosure, day, text_of
):
    other = make_home("Finch", most_enclosures=9)
    group, _animals, with_them = lives("Pip", home=leaving)
    moved, _others, emptied = lives("Moss", home=leaving)
    spare = make_enclosure("Spare", leaving)
    free = make_enclosure("Free", other, plan=("####", "####"))
    pool = Pool.objects.set_up("Cupboard", leaving)

    page = post(
        coordinating,
        leaving,
        **{
            f"what_{with_them.code}": "home",
            f"home_{with_them.code}": other.code,
            f"where_{emptied.code}": free.code,
            f"what_{emptied.code}": "retired",
            f"what_{spare.code}": "store",
            f"thing_pool{pool.pk}": other.code,
        },
    )

    assert "All is handed on. The home can be closed." in text_of(page)
    pool.refresh_from_db()
    assert pool.home == other
    assert [one.enclosure for one in other.standings.open()] == [free, with_them]
    assert not leaving.standings.open().exists()
    assert [stay.enclosure for stay in group.stays.open()] == [with_them]
    assert [stay.enclosure for stay in moved.stays.open()] == [free]
    assert (emptied.state_now(), spare.state_now()) == ("retired", "standing")


def test_what_is_not_chosen_stays_listed(coordinating, leaving, lives, make_enclosure, text_of):
    lives("Pip", home=leaving)
    spare = make_enclosure("Spare", leaving)

    page = post(coordinating, leaving, **{f"what_{spare.code}": "store"})

    told = text_of(page)
    assert "What is listed below is still open." in told
    assert "<legend>Of Pip: Pip" in told
    assert "<legend>Spare" not in told


@pytest.mark.parametrize("what", ["store", "retired"])
def test_an_enclosure_with_animals_goes_nowhere_without_them(
    what, coordinating, leaving, lives, text_of
):
    _group, _animals, there = lives("Pip", home=leaving)

    page = post(coordinating, leaving, **{f"what_{there.code}": what})

    assert page.status_code == 422
    assert "Animals live in it. Choose where they move, first." in text_of(page)
    assert leaving.standings.open().exists()


def test_a_place_that_is_too_small_is_asked_about_first(
    coordinating, leaving, lives, make_enclosure, make_home, answer_to, text_of
):
    answer_to("de-tvt159")  # TVT Merkblatt 159: 2 m² for two to four.
    group, _animals, there = lives("Pip", "Moss", home=leaving)
    small = make_enclosure("Small", make_home("Finch"), plan=("##",))
    given = {f"where_{there.code}": small.code}

    asked = post(coordinating, leaving, **given)
    done = post(coordinating, leaving, anyway="on", **given)

    assert asked.status_code == 422
    assert "Small is too small by your space standard." in text_of(asked)
    assert done.status_code == 200
    assert [stay.enclosure for stay in group.stays.open()] == [small]


def test_two_groups_do_not_go_to_one_enclosure(
    coordinating, leaving, lives, make_enclosure, text_of
):
    one = lives("Pip", home=leaving)[2]
    other = lives("Moss", home=leaving)[2]
    free = make_enclosure("Free")

    page = post(
        coordinating,
        leaving,
        **{f"where_{one.code}": free.code, f"where_{other.code}": free.code},
    )

    assert page.status_code == 422
    assert "Another group moves there." in text_of(page)


def test_if_one_cannot_go_none_does(coordinating, leaving, lives, make_enclosure, make_home, day):
    _group, _animals, there = lives("Pip", home=leaving)
    late = make_enclosure("Late", make_home("Finch"), since=day(-2))
    spare = make_enclosure("Spare", leaving)

    page = post(
        coordinating,
        leaving,
        day="2027-03-05",
        **{f"what_{spare.code}": "store", f"where_{there.code}": late.code},
    )

    assert page.status_code == 422
    assert spare.standings.open().exists()


def test_nothing_chosen_is_said(coordinating, leaving, lives, text_of):
    lives("Pip", home=leaving)

    assert "Choose at least one thing to hand on." in text_of(post(coordinating, leaving))


def test_an_open_build_goes_to_the_home_that_takes_it(coordinating, leaving, make_home):
    other, build = make_home("Finch"), make_build(home=leaving)

    post(coordinating, leaving, **{f"thing_build{build.pk}": other.code})

    build.refresh_from_db()
    assert build.home == other


def test_the_page_asks_as_often_for_six_enclosures_as_for_two(
    coordinating, leaving, lives, make_home
):
    make_home("Finch")
    asked = []
    for names in (("A", "B"), ("C", "D", "E", "F")):
        for name in names:
            lives(name, home=leaving)
        coordinating.get(f"/homes/{leaving.code}/hand-on/")
        with CaptureQueriesContext(connection) as queries:
            coordinating.get(f"/homes/{leaving.code}/hand-on/")
        asked.append(len(queries))

    assert asked[0] == asked[1]


@pytest.mark.parametrize("kind", ["pool", "build"])
def test_a_home_with_linens_or_builds_is_not_closed(coordinating, leaving, text_of, kind):
    if kind == "pool":
        Pool.objects.set_up("Cupboard", leaving)
    else:
        make_build(home=leaving)
    address = f"/homes/{leaving.code}/close/"

    refused = coordinating.post(address, {"day": "2027-03-10"})

    assert refused.status_code == 422
    assert "Hand on what is here first" in text_of(refused)
    leaving.refresh_from_db()
    assert not leaving.is_closed
