"""A group moves by picking where: the verdict before and after, the reason where it cannot."""

import uuid

import pytest

from habitats.animals.models.quarantines import Quarantine
from habitats.animals.models.stays import Stay
from habitats.enclosures.models.enclosures import EnclosureState

# 2 × 2 and 2 × 4 panels of 355 mm without clearance: 5 041 and 10 082 cm² inside.
SMALL, LARGE = ("##", "##"), ("####", "####")


@pytest.fixture
def three(lives, make_home, answer_to):
    """Three grown guinea pigs on 5 041 cm²; Switzerland TSchV asks 7 000."""
    answer_to("ch-tschv")
    return lives("Pip", "Moss", "Nut", home=make_home("Wren"), plan=SMALL, grams=900)


def where(client, group, **asked):
    return client.get(f"/groups/{group.code}/move/", asked)


def move(client, group, enclosure, **sent):
    given = {"since": "2027-03-10", "enclosure": enclosure.code, **sent}
    return client.post(f"/groups/{group.code}/move/", given)


def test_free_enclosures_are_offered_with_the_verdict_there_enough_ones_first(
    three, make_enclosure, coordinating
):
    group, _animals, _old = three
    make_enclosure("Snug", plan=SMALL)
    make_enclosure("Hall", plan=("######", "######"))
    make_enclosure("Parlour", plan=LARGE)
    make_enclosure("Broken", state=EnclosureState.NEEDS_REPAIR)

    page = where(coordinating, group)

    rows = page.context["rows"]
    assert [(row.enclosure.label, row.after.verdict.passes) for row in rows] == [
        ("Parlour", True),
        ("Hall", True),
        ("Snug", False),
    ]
    assert page.context["before"].verdict.passes is False
    assert {row.after.verdict.required_mm2 for row in rows} == {700_000}


def test_those_that_cannot_take_them_are_shown_with_the_reason(
    three, lives, make_enclosure, coordinating
):
    group, _animals, _old = three
    lives("Ida")
    make_enclosure("Broken", state=EnclosureState.NEEDS_REPAIR)
    make_enclosure("On paper", state=EnclosureState.PLANNED)
    make_enclosure("Free")

    rows = where(coordinating, group, shown="others").context["rows"]

    assert {row.enclosure.label: row.reason for row in rows} == {
        "Of Ida": "Occupied by Ida",
        "Broken": "Needs repair",
        "On paper": "Planned",
    }


def test_enclosures_are_found_by_label_home_and_area(
    three, make_home, make_enclosure, coordinating
):
    group, _animals, _old = three
    make_enclosure("Bay", make_home("Depot", area="Mill Lane"))
    make_enclosure("Hall", make_home("Lark"))

    def labels(words):
        return [
            one.enclosure.label for one in where(coordinating, group, words=words).context["rows"]
        ]

    assert labels("mill") == labels("depot") == labels("bay") == ["Bay"]


def test_before_and_after_stand_beside_each_other_and_the_group_moves(
    three, make_enclosure, coordinating, day
):
    group, _animals, old = three
    new = make_enclosure("Parlour", plan=LARGE)

    page = where(coordinating, group, enclosure=new.code)
    verdicts = [one.card.verdict for one in page.context["floors"]]
    idempotency_key = str(uuid.uuid4())
    answers = [move(coordinating, group, new, idempotency_key=idempotency_key) for _ in range(2)]

    assert [one.passes for one in verdicts] == [False, True]
    assert {answer.url for answer in answers} == {f"/groups/{group.code}/"}
    assert [one.enclosure for one in Stay.objects.on(day(0))] == [new]
    assert (old.state_now(), new.state_now()) == (EnclosureState.STANDING, EnclosureState.IN_USE)


def test_a_move_to_where_it_is_not_enough_is_asked_about(
    three, make_enclosure, coordinating, text_of, day
):
    group, _animals, old = three
    new = make_enclosure("Snug", plan=SMALL)

    refused = move(coordinating, group, new)
    assert refused.status_code == 422
    assert "The enclosure is too small by your space standard." in text_of(refused)
    assert [one.enclosure for one in Stay.objects.on(day(0))] == [old]

    assert move(coordinating, group, new, confirmed="on").status_code == 302


@pytest.mark.parametrize(
    ("state", "sentence"),
    [
        (
            EnclosureState.RETIRED,
            "is marked “Retired”. Choose an enclosure that is standing.",
        ),
        (EnclosureState.PLANNED, "is marked “Planned”. Choose an enclosure that is standing."),
    ],
)
def test_nobody_moves_into_an_enclosure_that_is_not_standing(
    state, sentence, three, make_enclosure, coordinating, text_of
):
    group, _animals, old = three
    answer = move(coordinating, group, make_enclosure("Old one", state=state, plan=LARGE))

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert group.stays.open().get().enclosure == old


def test_a_taken_enclosure_says_by_whom_and_since_when(three, lives, coordinating, text_of):
    group, _animals, _old = three
    _other, _ida, taken = lives("Ida", plan=LARGE)

    answer = move(coordinating, group, taken)

    assert answer.status_code == 422
    assert "has been occupied by" in text_of(answer)
    assert "since 30 November 2026" in text_of(answer)


@pytest.mark.parametrize(
    ("since", "sentence"),
    [
        ("2026-11-29", "Enter that day or a later one"),
        ("2027-03-11", "in the future"),
        ("nonsense", "Enter a valid date"),
    ],
)
def test_a_day_on_which_they_cannot_move_is_refused(
    since, sentence, three, make_enclosure, coordinating, text_of
):
    group, _animals, _old = three

    answer = move(coordinating, group, make_enclosure(plan=LARGE), since=since)

    assert answer.status_code == 422
    assert sentence in text_of(answer)


def test_a_home_without_a_room_apart_is_cautioned_against_in_quarantine(
    three, lives, make_home, make_enclosure, coordinating, coordinator, text_of, day
):
    group, (pip, *_others), _old = three
    Quarantine.objects.create(animal=pip, since=day(-3), made_by=coordinator)
    crowded = make_home("Lark", most_enclosures=2)
    roomy = make_home("Depot", most_enclosures=2, isolation_places=1)
    for home in (crowded, roomy):
        lives("Ida", home=home)
    make_enclosure("In Lark", crowded, plan=LARGE)
    make_enclosure("In Depot", roomy, plan=LARGE)
    make_enclosure("In Wren", make_home("Empty"), plan=LARGE)

    rows = where(coordinating, group).context["rows"]

    assert {row.enclosure.label for row in rows if row.cautions} == {"In Lark"}
    lark = next(row.enclosure for row in rows if row.cautions)
    page = text_of(where(coordinating, group, enclosure=lark.code))
    assert "Pip is in quarantine. Lark has other animals and no free isolation place." in page


def test_without_a_rule_set_they_move_unjudged(lives, make_enclosure, coordinating, text_of):
    group, _animals, _old = lives("Pip")
    new = make_enclosure("Parlour")

    assert "No space standard is chosen for them" in text_of(where(coordinating, group))
    assert move(coordinating, group, new).status_code == 302


def test_a_group_leaves_its_enclosure_for_nowhere_yet(three, coordinating, text_of):
    group, _animals, old = three

    refused = coordinating.post(f"/groups/{group.code}/leave/", {"on": "2026-11-29"})
    assert refused.status_code == 422
    assert "Enter that day or a later one" in text_of(refused)
    coordinating.post(f"/groups/{group.code}/leave/", {"on": "2027-03-10"})

    assert old.state_now() == EnclosureState.STANDING
    assert not group.stays.open().exists()


def test_a_group_that_is_there_already_stays_as_it_was(three, coordinating):
    group, _animals, old = three

    assert move(coordinating, group, old, confirmed="on").url == f"/groups/{group.code}/"

    assert group.stays.count() == 1


def test_a_group_without_animals_takes_no_enclosure(
    make_group, make_enclosure, coordinating, text_of
):
    group, new = make_group(), make_enclosure()

    answer = move(coordinating, group, new)

    assert "This group has no animals now" in text_of(coordinating.get(answer.url))
    assert not Stay.objects.exists()


def test_an_enclosure_that_nobody_has_is_no_page(three, coordinating):
    assert where(coordinating, three[0], enclosure="NOSUCH").status_code == 404


@pytest.mark.parametrize("shown", ["", "others"])
def test_the_choice_asks_as_many_queries_for_twelve_as_for_three(
    shown, three, make_home, make_enclosure, coordinating, queries_for
):
    group, _animals, _old = three
    state = EnclosureState.STANDING if not shown else EnclosureState.NEEDS_REPAIR
    address = f"/groups/{group.code}/move/?shown={shown}"
    for number in range(3):
        make_enclosure(f"A{number}", make_home(f"H{number}"), state=state)
    few = queries_for(coordinating, address)
    for number in range(9):
        make_enclosure(f"B{number}", make_home(f"I{number}"), state=state)

    assert queries_for(coordinating, address) == few
