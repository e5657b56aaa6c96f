"""Single animals and pairs that could live together, introduced and made one group."""

import uuid
from dataclasses import replace

import pytest

from builds.placing.models.carrying_out import MovedSince
from builds.placing.models.case_today import RescueToday
from builds.placing.models.unions_today import unions_of
from builds.placing.models.uniting import unite
from habitats.animals.models.animals import Animal
from habitats.animals.models.bonding import BondingAttempt, record_attempt
from habitats.animals.models.groups import Group, Membership
from habitats.welfare.bands import BandClass, Bands
from habitats.welfare.values import Species

PAGE = "/placing/"
UNITE = "/placing/group/"
SMALL = ("##", "##")  # 5 041 cm²; Switzerland TSchV asks 5 000 for two


@pytest.fixture
def two_singles(lives, make_animal, make_home, answer_to, this_day):
    """Ida lives alone where two could; Una is in no group."""
    answer_to("ch-tschv")
    group, (ida,), _enclosure = lives(
        "Ida", home=make_home("Wren", most_enclosures=1), plan=SMALL, grams=900
    )
    return group, ida, make_animal("Una", grams=900)


def together(client):
    return client.get(PAGE, {"together": "yes"})


def form_of(proposed, **changes):
    return {
        "once": str(uuid.uuid4()),
        "union": proposed.key,
        "together": "yes",
        "is_introduced": "on",
        **changes,
    }


def test_an_animal_in_no_group_is_told_and_left_out(two_singles, coordinating, text_of):
    page = coordinating.get(PAGE)

    assert "2 animals live alone or are in no group." in text_of(page)
    assert page.context["page"].waiting == []
    assert "together=yes" in page.context["page"].wishes.other_company


def test_two_who_could_live_together_are_proposed_with_the_caution(
    two_singles, coordinating, text_of
):
    page = together(coordinating)

    (union,) = page.context["page"].unions
    assert (union.who, union.place) == ("Ida and Una", "Of Ida, Wren")
    assert "Introduce them on ground that is new to all of them" in text_of(page)
    # Nobody is moved by "Record all moves" before they get on.
    assert page.context["page"].moves == ()
    (row,) = page.context["page"].rows
    assert (row.who, row.together, row.address) == ("Una", "Ida", "")


def test_those_who_get_on_are_one_group(two_singles, coordinating, text_of, day):
    group, ida, una = two_singles
    (union,) = together(coordinating).context["page"].unions

    page = coordinating.post(UNITE, form_of(union), follow=True)

    assert "Ida and Una are one group now." in text_of(page)
    living = Membership.objects.on(day(0))
    assert {(one.group, one.animal) for one in living} == {(group, ida), (group, una)}
    assert page.context["page"].rows == []


def test_what_is_sent_twice_makes_one_group(two_singles, coordinating):
    form = form_of(together(coordinating).context["page"].unions[0])
    coordinating.post(UNITE, form)

    assert coordinating.post(UNITE, form).status_code == 302
    assert Membership.objects.count() == 2


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"is_introduced": ""}, "Introduce them first, and tick that they get on."),
        ({"union": "A.B"}, "no group was made"),
        ({"union": ""}, "no group was made"),
        ({"together": ""}, "no group was made"),
    ],
)
def test_no_group_is_made_of_others_or_before_they_met(
    two_singles, coordinating, text_of, wrong, said
):
    (union,) = together(coordinating).context["page"].unions

    page = coordinating.post(UNITE, form_of(union, **wrong))

    assert page.status_code == 422
    assert said in text_of(page)
    assert Membership.objects.count() == 1


def test_those_who_refused_each_other_are_not_proposed(two_singles, coordinating, coordinator, day):
    _group, ida, una = two_singles
    record_attempt(
        ida,
        una,
        by=coordinator,
        idempotency_key=uuid.uuid4(),
        on=day(-3),
        outcome=BondingAttempt.Outcome.REFUSED,
    )

    assert together(coordinating).context["page"].unions == []


def test_an_entire_male_is_not_proposed_with_a_sow(
    lives, make_animal, make_home, answer_to, coordinating, this_day
):
    answer_to("ch-tschv")
    lives("Ida", home=make_home("Wren", most_enclosures=1), plan=SMALL, grams=900)
    make_animal("Otto", sex="M", grams=900)

    page = together(coordinating).context["page"]

    assert page.unions == []
    assert [row.who for row in page.waiting] == ["Otto"]


def test_one_that_would_live_alone_is_told_so(
    make_animal, make_home, make_enclosure, answer_to, coordinating, this_day
):
    answer_to("ch-tschv")
    make_enclosure("Snug", make_home("Wren", most_enclosures=1), plan=SMALL)
    una = make_animal("Una", grams=900)

    page = together(coordinating).context["page"]

    (row,) = page.rows
    assert "forbids keeping guinea pigs singly" in row.cautions[0]
    assert row.address == f"/animals/{una.code}/room/"
    assert page.moves == ()


def test_a_union_that_meanwhile_has_a_reason_against_it_is_named(
    two_singles, coordinating, coordinator, text_of, day
):
    _group, ida, una = two_singles
    form = form_of(together(coordinating).context["page"].unions[0])
    record_attempt(
        ida,
        una,
        by=coordinator,
        idempotency_key=uuid.uuid4(),
        on=day(-3),
        outcome=BondingAttempt.Outcome.REFUSED,
    )

    page = coordinating.post(UNITE, form)

    assert page.status_code == 422
    assert "No longer proposed, and no group was made: Ida and Una." in text_of(page)
    assert Membership.objects.count() == 1


@pytest.mark.parametrize(("most", "unions"), [(4, 1), (3, 0)])
def test_two_are_no_group_for_a_build_that_would_not_do_for_both(
    make_animal, make_group, make_drawn, answer_to, this_day, day, most, unions
):
    # A limit on their number, of the rescue's own making; the floor is enough for four.
    answer_to("ch-tschv")
    make_drawn(("####", "####"))
    for names in (("Ida", "Una"), ("Fern", "Moss")):
        make_group(*(make_animal(one, grams=900) for one in names))
    rescue = RescueToday(day(0), is_together=True)
    rules = rescue.rules[Species.GUINEA_PIG]
    rescue.rules[Species.GUINEA_PIG] = replace(rules, most_animals=Bands((BandClass(most),)))

    assert len(unions_of(rescue)) == unions


@pytest.fixture
def in_no_group(make_animal, make_home, make_enclosure, answer_to, this_day, day):
    """What was read of two before another request came."""
    answer_to("ch-tschv")
    make_enclosure("Snug", make_home("Wren", most_enclosures=1), plan=SMALL)
    for name in ("Ida", "Una"):
        make_animal(name, grams=900)
    rescue = RescueToday(day(0), is_together=True)
    return rescue, tuple(sorted(rescue.loose))


def test_two_requests_with_one_key_make_one_group(in_no_group, coordinator, day):
    rescue, refs = in_no_group
    facts = {"by": coordinator, "on": day(0), "idempotency_key": uuid.uuid4()}

    assert unite(rescue, refs, **facts) == unite(rescue, refs, **facts)
    assert Group.objects.count() == 1


def test_nobody_is_taken_out_of_a_group_that_was_made_meanwhile(
    in_no_group, make_animal, make_group, coordinator, day
):
    rescue, refs = in_no_group
    una = Animal.objects.get(name="Una")
    other = make_group(make_animal("Fern"), una)

    with pytest.raises(MovedSince):
        unite(rescue, refs, by=coordinator, on=day(0), idempotency_key=uuid.uuid4())

    assert una.memberships.open().get().group == other
    assert Group.objects.count() == 1
