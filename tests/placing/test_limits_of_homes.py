"""What is written down of a home limits who is proposed to live there."""

import pytest

from habitats.animals.models.climbing import ClimbingBan
from habitats.homes.models.absences import Absence
from habitats.structure.lattice import Side
from tests.support.designs import ramp_from

PAGE = "/placing/"
# 2 × 4 panels of 355 mm without clearance: 10 082 cm² inside, enough for two of any standard.
LARGE = ("####", "####")
LOFT = {
    "plan": LARGE,
    "upper": ("..##", "...."),
    "ramps": (ramp_from(0, 2, Side.W),),
}


@pytest.fixture
def waiting(make_animal, make_group, answer_to, this_day):
    """Two that wait for a place."""
    answer_to("ch-tschv")
    return make_group(*(make_animal(one, grams=900) for one in ("Ida", "Una")))


@pytest.mark.parametrize(
    ("limits", "reason"),
    [
        ({"known_species": "rabbit"}, "the home does not know the species"),
        ({"pet_kinds": "cat"}, "it has no lid, and the home has other pets"),
        ({"most_animals": 1}, "the home has as many as it can take"),
        ({"most_enclosures": 0}, "the home has as many as it can take"),
    ],
)
def test_a_home_that_cannot_take_them_is_told_and_not_proposed(
    waiting, make_home, make_enclosure, coordinating, limits, reason
):
    home = make_home("Wren", **limits)
    snug = make_enclosure("Snug", home, plan=LARGE)

    page = coordinating.get(PAGE).context["page"]

    assert page.rows == []
    [row] = page.waiting
    assert row.nearest == (f"{snug}, Wren: {reason}",)


@pytest.mark.parametrize(
    "limits",
    [
        {},
        {"known_species": "guinea_pig,rabbit"},
        {"pet_kinds": "bird", "other_pets": "a cat"},
        {"most_animals": 2},
        {"largest_width_mm": 400, "largest_depth_mm": 400},  # of what is yet to be built
    ],
)
def test_what_does_not_limit_keeps_nobody_out(
    waiting, make_home, make_enclosure, coordinating, limits
):
    snug = make_enclosure("Snug", make_home("Wren", **limits), plan=LARGE)

    page = coordinating.get(PAGE).context["page"]

    assert [row.to for row in page.rows] == [f"{snug}, Wren"]


def test_nobody_is_proposed_for_a_home_that_is_away(
    waiting, make_home, make_enclosure, coordinating, coordinator, day
):
    home = make_home("Wren")
    snug = make_enclosure("Snug", home, plan=LARGE)
    away = {"first_day": day(-1), "last_day": day(3)}
    absence = Absence.objects.record(home, by=coordinator, idempotency_key=None, **away)

    [row] = coordinating.get(PAGE).context["page"].waiting
    assert row.nearest == (f"{snug}, Wren: {absence.words}",)
    # Nor is it offered as one to rule out.
    assert coordinating.get(PAGE).context["wishes"].homes == []

    absence.end_on(day(0), by=coordinator, idempotency_key=None)
    assert [row.to for row in coordinating.get(PAGE).context["page"].rows] == [f"{snug}, Wren"]


def test_one_that_must_not_climb_is_proposed_for_no_enclosure_with_a_ramp(
    waiting, make_home, make_enclosure, coordinating, coordinator, day
):
    home = make_home("Wren", most_enclosures=2)
    make_enclosure("Loft", home, **LOFT)
    animal = waiting.memberships.first().animal
    assert [row.to for row in coordinating.get(PAGE).context["page"].rows] == ["Loft, Wren"]

    said = {"since": day(-1), "said_by": "Dr Quill", "made_by": coordinator}
    ClimbingBan.objects.create(animal=animal, **said)

    [row] = coordinating.get(PAGE).context["page"].waiting
    assert row.nearest == ("Loft, Wren: it has a ramp, and they must not climb",)


def test_a_home_that_is_away_soon_is_proposed_with_the_days(
    waiting, make_home, make_enclosure, coordinating, coordinator, day
):
    home = make_home("Wren")
    make_enclosure("Snug", home, plan=LARGE)
    away = {"first_day": day(5), "last_day": day(9), "covered_by": "Tobi"}
    absence = Absence.objects.record(home, by=coordinator, idempotency_key=None, **away)

    [row] = coordinating.get(PAGE).context["page"].rows

    assert row.cautions == (f"Wren is {absence.words}.",)
