"""What is told before a group moves into a home: its limits, its absences, its pets, a ramp."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from habitats.animals.models.climbing import ClimbingBan
from habitats.animals.models.quarantines import Quarantine
from habitats.homes.models.absences import Absence
from habitats.structure.lattice import Side
from tests.support.designs import ramp_from

pytestmark = pytest.mark.usefixtures("this_day")

LARGE = ("####", "####")
LOFT = {"upper": ("..##", "...."), "ramps": (ramp_from(0, 2, Side.W),)}


@pytest.fixture
def pair(lives):
    """Two that live elsewhere."""
    group, animals, _enclosure = lives("Ida", "Una")
    return group, animals


@pytest.fixture
def told(pair, make_enclosure, coordinating):
    """``told(home)``: the cautions of moving the two into a new enclosure of that home."""

    def cautions(home, **design):
        enclosure = make_enclosure("Snug", home, **{"plan": LARGE, **design})
        page = coordinating.get(f"/groups/{pair[0].code}/move/?enclosure={enclosure.code}")
        return list(page.context["cautions"])

    return cautions


def test_of_a_home_with_room_nothing_is_told(told, make_home):
    limits = {"known_species": "guinea_pig", "pet_kinds": "bird", "most_animals": 2}
    assert told(make_home("Wren", **limits)) == []


@pytest.mark.parametrize(
    ("limits", "sentence"),
    [
        ({"most_animals": 1}, "Animals in Wren after the move: 2. It can look after 1."),
        (
            {"most_enclosures": 0},
            "Enclosures in use in Wren after the move: 1. It can look after 0.",
        ),
        ({"known_species": "rabbit"}, "Wren has no experience with guinea pigs."),
        (
            {"pet_kinds": "dog,cat"},
            "Wren has other pets (dog and cat), and this enclosure has no lid.",
        ),
    ],
)
def test_each_limit_of_the_home_is_told(told, make_home, limits, sentence):
    assert told(make_home("Wren", **limits)) == [sentence]


def test_who_lives_there_counts_and_the_group_itself_does_not(
    told, lives, pair, make_home, make_enclosure
):
    home = make_home("Wren", most_animals=4, most_enclosures=9)
    lives("Fern", "Moss", home=home)
    assert told(home) == []

    lives("Nut", home=home)
    assert told(home) == ["Animals in Wren after the move: 5. It can look after 4."]


def test_with_a_lid_other_pets_are_no_reason(told, make_home):
    assert told(make_home("Wren", pet_kinds="cat"), lid=True) == []


@pytest.mark.parametrize(
    ("first", "last", "is_told"), [(-3, 3, True), (10, 12, True), (60, 70, False), (-9, -2, False)]
)
def test_an_absence_now_or_soon_is_told_with_who_covers(
    told, make_home, coordinator, day, first, last, is_told
):
    home = make_home("Wren")
    facts = {"first_day": day(first), "last_day": day(last), "covered_by": "Tobi"}
    absence = Absence.objects.record(home, by=coordinator, idempotency_key=None, **facts)

    assert told(home) == ([f"Wren is {absence.words}."] if is_told else [])


def test_isolation_places_are_counted(told, lives, pair, make_home, coordinator, day):
    """One place is taken by another in quarantine, so a second is needed."""
    home = make_home("Wren", isolation_places=1, most_enclosures=9)
    _group, (fern,), _enclosure = lives("Fern", home=home)
    for animal in (fern, pair[1][0]):
        Quarantine.objects.create(animal=animal, since=day(-1), made_by=coordinator)

    sentence = "Ida is in quarantine. Wren has other animals and no free isolation place."
    assert told(home) == [sentence]

    home.isolation_places = 2
    home.save()
    assert told(home) == []


def test_a_ramp_is_told_for_one_that_must_not_climb(told, pair, make_home, coordinator, day):
    said = {"said_by": "Dr Quill", "words": "no ramps", "made_by": coordinator}
    ClimbingBan.objects.create(animal=pair[1][0], since=day(-1), **said)

    assert told(make_home("Wren")) == []
    assert told(make_home("Elm"), **LOFT) == [
        "Ida must not climb (Dr Quill: “no ramps”). This enclosure has a ramp."
    ]


def test_the_page_of_an_enclosure_with_a_ramp_warns_of_one_that_must_not_climb(
    coordinating,
    lives,
    make_home,
    make_enclosure,
    make_animal,
    make_group,
    coordinator,
    day,
    text_of,
):
    loft, ida = make_enclosure("Loft", make_home("Wren"), plan=LARGE, **LOFT), make_animal("Ida")
    make_group(ida, enclosure=loft)
    _group, (nut,), flat = lives("Nut", home=make_home("Elm"), plan=LARGE)
    for animal in (ida, nut):
        said = {"since": day(-1), "said_by": "Dr Quill", "made_by": coordinator}
        ClimbingBan.objects.create(animal=animal, **said)

    page = text_of(coordinating.get(f"/enclosures/{loft.code}/"))
    assert "Ida must not climb (Dr Quill). This enclosure has a ramp." in page
    assert "must not climb" not in text_of(coordinating.get(f"/enclosures/{flat.code}/"))


def test_the_list_of_places_asks_as_often_for_thirty_as_for_three(
    pair, make_home, make_enclosure, make_drawn, coordinating, coordinator, day
):
    def fill(number):
        for _ in range(number):
            home = make_home("Wren", pet_kinds="cat", most_animals=1)
            make_enclosure("Snug", home, plan=LARGE)
            away = {"first_day": day(0)}
            Absence.objects.record(home, by=coordinator, idempotency_key=None, **away)

    def queries():
        coordinating.get(f"/groups/{pair[0].code}/move/")
        with CaptureQueriesContext(connection) as caught:
            page = coordinating.get(f"/groups/{pair[0].code}/move/")
        assert all(len(row.cautions) == 3 for row in page.context["rows"])
        return len(caught)

    fill(3)
    few = queries()
    fill(27)
    assert queries() == few


def test_others_in_quarantine_without_an_isolation_place_are_told(
    told, lives, make_home, coordinator, day
):
    home = make_home("Wren", most_enclosures=9)
    _group, (fern,), _enclosure = lives("Fern", home=home)
    Quarantine.objects.create(animal=fern, since=day(-1), made_by=coordinator)

    sentence = "Animals in quarantine live in this home without an isolation place."
    assert told(home) == [sentence]

    home.isolation_places = 1
    home.save()
    assert told(home) == []
