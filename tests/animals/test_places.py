"""Where an animal was, day by day, however its groups and their enclosures changed."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats.animals.models.groups import Membership
from habitats.animals.models.joining import join
from habitats.animals.models.places import NOWHERE, history_of, places_of, shared_days
from habitats.animals.models.stays import Stay, move_in
from habitats.enclosures.models.standing import stand

FIRST = date(2027, 1, 1)
some_days = st.integers(0, 12).map(lambda ahead: FIRST + timedelta(days=ahead))
spans = st.tuples(some_days, st.none() | some_days).filter(
    lambda two: not two[1] or two[0] <= two[1]
)


def days_of(since, until):
    last = until or FIRST + timedelta(days=20)
    return {since + timedelta(days=ahead) for ahead in range((last - since).days)}


@given(spans, spans)
def test_days_that_two_spans_share_are_those_that_both_cover(one, other):
    shared = shared_days(
        Membership(since=one[0], until=one[1]), Stay(since=other[0], until=other[1])
    )

    assert (days_of(*shared) if shared else set()) == days_of(*one) & days_of(*other)


@pytest.mark.django_db
def test_history_tells_each_enclosure_and_home_in_which_an_animal_was(
    lives, make_home, make_animal, make_enclosure, coordinator, day
):
    wren, depot = make_home("Wren"), make_home("Depot")
    group, _animals, first = lives("Moss", home=wren)
    pip = make_animal("Pip")
    join(group, pip, day(-50), by=coordinator)
    move_in(group, make_enclosure("Second", depot), day(-20), by=coordinator)
    stand(first, depot, day(-10), by=coordinator)

    told = [
        (one.since, one.until, str(one.place.enclosure), str(one.place.home))
        for one in history_of(pip, 50)
    ]

    assert told == [
        (day(-20), None, "Second", "Depot"),
        (day(-50), day(-20), "Of Moss", "Wren"),
    ]


@pytest.mark.django_db
def test_an_animal_in_no_group_is_nowhere(make_animal, today):
    pip = make_animal()

    assert places_of([pip.pk], today).get(pip.pk, NOWHERE) == NOWHERE
    assert history_of(pip, 50) == []


@pytest.mark.django_db
def test_a_group_without_an_enclosure_has_a_history_all_the_same(make_animal, make_group, day):
    pip = make_animal()
    group = make_group(pip)

    (only,) = history_of(pip, 50)

    assert (only.since, only.until, only.place.group, only.place.enclosure) == (
        day(-100),
        None,
        group,
        None,
    )
