"""What an enclosure's page opens with: its floor, who lives there, the two likeliest actions.

Which those are is common practice, no source.
"""

import pytest
from django.urls import reverse

from habitats.faults.models import faults
from habitats.people.models.people import Person
from habitats.residence.pages.enclosure_actions import WORDS, Circumstances, EnclosureActions

COORDINATOR, FOSTER, BUILDER = Person.Role.COORDINATOR, Person.Role.FOSTER, Person.Role.BUILDER


def there(state="standing", **facts):
    usual = {"group": "", "home": "WREN", "must_move": False, "has_faults": False}
    return Circumstances(code="NOOK", state=state, **{**usual, "is_unsafe": False, **facts})


def actions_of(role, circumstances):
    return EnclosureActions(
        circumstances, is_coordinator=role == COORDINATOR, cares_for_it=role != BUILDER
    )


def likeliest(role, circumstances):
    return [str(one.words) for one in actions_of(role, circumstances).likeliest]


LIVED_IN = {"state": "in use", "group": "PIP"}
UNSAFE = {"has_faults": True, "is_unsafe": True}


@pytest.mark.parametrize(
    ("role", "facts", "expected"),
    [
        (COORDINATOR, LIVED_IN, ["Change linens", "Weigh"]),
        (COORDINATOR, LIVED_IN | {"home": ""}, ["Change linens", "Move group"]),
        (COORDINATOR, LIVED_IN | {"must_move": True}, ["Move group", "Change linens"]),
        (COORDINATOR, LIVED_IN | UNSAFE, ["Move group", "Plan repair"]),
        (COORDINATOR, {}, ["Move group in", "Report fault"]),
        (COORDINATOR, UNSAFE, ["Plan repair", "Safety check"]),
        (COORDINATOR, {"state": "planned"}, ["Plan build", "Change state"]),
        (COORDINATOR, {"state": "planned", "build": "B2B"}, ["Show build", "Change state"]),
        (COORDINATOR, {"state": "building"}, ["Plan build", "Change state"]),
        (COORDINATOR, {"state": "repair"}, ["Safety check", "Change state"]),
        (COORDINATOR, {"state": "retired"}, ["Parts taken back", "Edit"]),
        (FOSTER, LIVED_IN, ["Change linens", "Report fault"]),
        (FOSTER, {}, ["Report fault", "Safety check"]),
        (BUILDER, {"state": "in use"}, ["Report fault", "Safety check"]),
    ],
)
def test_the_likeliest_actions_hang_on_the_reader_and_on_the_enclosure(role, facts, expected):
    assert likeliest(role, there(**facts)) == expected


@pytest.mark.parametrize("facts", [LIVED_IN, LIVED_IN | UNSAFE, {}, UNSAFE, {"state": "retired"}])
def test_the_menu_has_what_is_not_among_the_likeliest(facts):
    actions = actions_of(COORDINATOR, there(**facts))
    first, others = ([one.words for one in some] for some in (actions.likeliest, actions.others))

    assert not set(first) & set(others)
    always = {"check", "report", "linens", "card", "suspect", "edit", "alter", "move"}
    if facts.get("state") == "retired":
        always -= {"alter"}
    assert {str(WORDS[one]) for one in always} <= {*first, *others}


def test_no_group_is_offered_an_unsafe_enclosure():
    actions = actions_of(COORDINATOR, there(**UNSAFE))

    offered = [one.words for one in actions.likeliest + actions.others]
    assert "Plan repair" in offered
    assert "Move group in" not in offered


# --- On the page ---


def page_of(client, enclosure):
    response = client.get(f"/enclosures/{enclosure.code}/")
    assert response.status_code == 200
    return response.content.decode()


def test_the_page_opens_with_the_floor_then_who_then_the_actions(coordinating, nook, answer_to):
    answer_to("ch-tschv")
    page = page_of(coordinating, nook)

    # TSchV, Annex 2, Table 1: 0.5 m² for two; 1.00 m² are there.
    in_order = ("<h1", "<svg", ">Moss</a>", "Enough", "button first", "More actions", "<h2")
    places = [page.index(one, page.index("<main")) for one in in_order]
    assert places == sorted(places)


def test_the_floor_says_where_north_is(coordinating, nook):
    assert ">N</text>" in page_of(coordinating, nook)


COORDINATORS_ADDRESSES = (
    *("check_enclosure", "report_fault", "enclosure_linens", "enclosure_card_pdf", "change_linens"),
    *("edit_enclosure", "move_enclosure", "builds:change_enclosure", "builds:retire_enclosure"),
)


@pytest.mark.parametrize("name", COORDINATORS_ADDRESSES)
def test_a_coordinator_finds_every_action_on_the_page(coordinating, nook, name):
    assert f'href="{reverse(name, args=[nook.code])}"' in page_of(coordinating, nook)


@pytest.mark.parametrize("hidden", ["change/", "linens/", "card.pdf", "board/", "edit/"])
def test_a_builder_is_offered_nothing_of_animals(building, nook, hidden):
    assert f"/enclosures/{nook.code}/{hidden}" not in page_of(building, nook)


def test_an_unsafe_enclosure_says_so_above_the_actions(coordinating, nook, coordinator, today):
    faults.report(nook, "tie", "unsafe", on=today, by=coordinator)
    page = page_of(coordinating, nook)

    assert page.index("Unsafe:") < page.index("button first")
    assert 'href="/groups/' in page[page.index("button first") :].split(">")[0]


def test_a_group_is_chosen_for_the_enclosure_it_moves_into(
    coordinating, make_enclosure, make_animal, make_group, text_of
):
    free, group = make_enclosure("Bay 1"), make_group(make_animal("Pip"))
    assert f"/groups/?into={free.code}" in page_of(coordinating, free)

    page = text_of(coordinating.get(f"/groups/?into={free.code}"))

    assert "Choose the group that moves into Bay 1." in page
    assert f'href="/groups/{group.code}/move/?enclosure={free.code}"' in page


def test_the_linens_of_an_enclosure_are_shown_where_animals_live(fostering, nook, text_of):
    page = text_of(fostering.get(f"/enclosures/{nook.code}/"))

    assert "bare: none recorded" in page
