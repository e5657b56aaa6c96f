"""An intake of many: what is the same for all of them is told once, and done in few taps."""

import pytest

from habitats.animals.models.quarantines import Quarantine


@pytest.fixture
def three_sows(make_animal, coordinator, day):
    """Came together three days ago, from where males were; in quarantine together."""
    sows = [
        make_animal(name, came_on=day(-3), may_be_pregnant=True, with_male_last=day(-3))
        for name in ("Fern", "Ida", "Moss")
    ]
    for one in sows:
        Quarantine.objects.create(
            animal=one, since=day(-3), together="the flat", made_by=coordinator
        )
    return sows


def test_what_is_due_for_all_of_a_group_is_told_once(
    three_sows, make_group, make_enclosure, make_home, coordinating, text_of
):
    group = make_group(*three_sows, enclosure=make_enclosure("Corner", make_home()))

    page, today = (text_of(coordinating.get(at)) for at in (f"/groups/{group.code}/", "/today/"))

    assert page.count("may have a litter from") == 1
    assert page.count("quarantine, begun on") == 1
    assert "This also applies to Ida and Moss." in page
    assert "Fern, Ida and Moss may have a litter" in today


def test_sows_that_may_have_a_litter_are_grouped_without_a_reason(
    three_sows, coordinating, text_of
):
    codes = [one.code for one in three_sows]
    page = text_of(coordinating.get("/groups/new/", {"animal": codes}))
    assert page.count("may have a litter up to") == 1
    assert "Reason for the override" not in page

    coordinating.post("/groups/new/", {"animal": codes, "since": "2027-03-10"})

    assert three_sows[0].memberships.open().get().group.memberships.count() == 3


def test_where_no_enclosure_is_enough_smaller_groups_are_named(
    three_sows, make_group, make_enclosure, make_home, answer_to, coordinating, text_of
):
    answer_to("ch-tschv")
    make_enclosure("Box", make_home(), plan=("#",))
    group = make_group(*three_sows)

    page = text_of(coordinating.get(f"/groups/{group.code}/move/"))

    assert "Make smaller groups, or let moves and builds be proposed." in page


def test_a_quarantine_is_ended_for_all_that_share_it(three_sows, coordinating, text_of, day):
    fern = three_sows[0]
    sent = {"why": "intake", "since": "2027-03-07", "until": "2027-03-28", "together": "the flat"}

    answer = coordinating.post(
        f"/animals/{fern.code}/quarantine/", {**sent, "for_all": "on"}, follow=True
    )

    assert "Quarantine of Fern, Ida and Moss recorded." in text_of(answer)
    last = Quarantine.objects.all().in_force()
    assert set(last.values_list("until", flat=True)) == {day(18)}


def test_those_without_an_enclosure_are_weighed_one_after_the_other(three_sows, coordinating):
    fern, ida, _moss = three_sows

    answer = coordinating.post(f"/animals/{fern.code}/weigh/", {"grams": "812", "on": "2027-03-10"})

    assert answer.url == f"/animals/{ida.code}/weigh/"
