"""Two people change the same: the second is told what has changed, and goes on knowingly."""

import re
import uuid

import pytest
from django.utils import timezone

from habitats.animals.models.animals import Animal
from habitats.animals.models.stays import Stay
from habitats.homes.models.homes import Home
from tests.support.behind_doors_of_builds import two_cells
from tests.support.kits import make_kit


@pytest.fixture
def moving(make_home, make_animal, make_group, make_enclosure):
    """A group with two enclosures free to move to."""
    home = make_home("Wren")
    group = make_group(make_animal("Ida"), make_animal("Nut"), enclosure=make_enclosure(home=home))
    return group, make_enclosure("East", home=home), make_enclosure("West", home=home)


def move(client, group, enclosure, basis, **more):
    return client.post(
        f"/groups/{group.code}/move/",
        {
            "enclosure": enclosure.code,
            "since": timezone.localdate().isoformat(),
            "confirmed": "on",
            "basis": basis,
            "once": str(uuid.uuid4()),
            **more,
        },
    )


def test_a_group_that_another_moved_meanwhile_is_not_moved_again(moving, both, opened, text_of):
    group, east, west = moving
    one, two = both
    pages = [f"/groups/{group.code}/move/?enclosure={there.code}" for there in (east, west)]
    bases = [opened(client, page) for client, page in zip(both, pages, strict=True)]

    assert move(one, group, east, bases[0]).status_code == 302
    refused = move(two, group, west, bases[1])

    assert refused.status_code == 422
    assert group.stays.open().get().enclosure == east
    said = text_of(refused)
    assert "Not saved. This has changed since you opened the page:" in said
    assert "Lives in: East (Cora Lind, " in said


def test_sent_once_more_the_second_move_goes_on_knowingly(moving, both, opened):
    group, east, west = moving
    one, two = both
    stale = opened(two, f"/groups/{group.code}/move/?enclosure={west.code}")
    move(one, group, east, opened(one, f"/groups/{group.code}/move/?enclosure={east.code}"))
    refused = move(two, group, west, stale).content.decode()

    fresh = refused.partition('name="basis" value="')[2].partition('"')[0]
    assert move(two, group, west, fresh).status_code == 302
    assert group.stays.open().get().enclosure == west


def test_the_same_move_sent_twice_by_one_person_is_harmless(moving, both, opened):
    group, east, _west = moving
    once = str(uuid.uuid4())
    basis = opened(both[0], f"/groups/{group.code}/move/?enclosure={east.code}")

    answers = [move(both[0], group, east, basis, once=once) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [302, 302]
    assert Stay.objects.filter(group=group, enclosure=east).count() == 1


@pytest.mark.django_db(transaction=True)
def test_of_two_moves_at_the_same_moment_one_is_refused(moving, both, opened, at_once):
    group, *places = moving
    bases = [
        opened(client, f"/groups/{group.code}/move/?enclosure={there.code}")
        for client, there in zip(both, places, strict=True)
    ]

    answers = at_once(
        *(
            lambda client=client, there=there, basis=basis: move(client, group, there, basis)
            for client, there, basis in zip(both, places, bases, strict=True)
        )
    )

    assert sorted(answer.status_code for answer in answers) == [302, 422]
    assert group.stays.open().count() == 1


def edit(client, home, basis, **changes):
    fields = {"name": "Wren", "area": "North", "kind": "foster", "most_enclosures": "4"}
    return client.post(f"/homes/{home.code}/edit/", {**fields, "basis": basis, **changes})


def test_an_edit_keeps_what_was_typed_and_does_not_undo_what_another_changed(
    make_home, both, opened, text_of
):
    home = make_home("Wren", area="North", most_enclosures=4)
    one, two = both
    bases = [opened(client, f"/homes/{home.code}/edit/") for client in both]

    edit(one, home, bases[0], area="South")
    refused = edit(two, home, bases[1], name="Ash")

    assert refused.status_code == 422
    assert Home.objects.get().name == "Wren"
    assert "Area: South (Cora Lind, " in text_of(refused)
    form = refused.context["form"]
    assert (form["name"].value(), form["area"].value()) == ("Ash", "South")


def test_an_edit_sent_twice_is_harmless(make_home, both, opened):
    home = make_home("Wren", area="North", most_enclosures=4)
    basis = opened(both[0], f"/homes/{home.code}/edit/")

    answers = [edit(both[0], home, basis, area="South") for _ in range(2)]

    assert [answer.status_code for answer in answers] == [302, 302]


@pytest.mark.django_db(transaction=True)
def test_of_two_edits_at_the_same_moment_one_is_refused(make_home, both, opened, at_once):
    home = make_home("Wren", area="North", most_enclosures=4)
    bases = [opened(client, f"/homes/{home.code}/edit/") for client in both]

    answers = at_once(
        lambda: edit(both[0], home, bases[0], area="South"),
        lambda: edit(both[1], home, bases[1], name="Ash"),
    )

    assert sorted(answer.status_code for answer in answers) == [302, 422]
    kept = Home.objects.get()
    assert (kept.name, kept.area) in [("Wren", "South"), ("Ash", "North")]


@pytest.mark.django_db(transaction=True)
def test_of_two_states_said_of_an_enclosure_at_the_same_moment_one_is_refused(
    make_enclosure, make_home, both, opened, at_once, day
):
    enclosure = make_enclosure(home=make_home())
    page, address = (f"/enclosures/{enclosure.code}/{end}" for end in ("", "state/"))
    basis = [opened(client, page, address) for client in both]
    told = [
        {"state": state, "day": day(0).isoformat(), "basis": one, "once": str(uuid.uuid4())}
        for state, one in zip(("building", "repair"), basis, strict=True)
    ]

    answers = at_once(
        lambda: both[0].post(address, told[0]), lambda: both[1].post(address, told[1])
    )

    assert sorted(answer.status_code for answer in answers) == [302, 422]
    assert enclosure.events.count() == 2


def test_two_who_pack_one_line_of_a_kit_see_each_other_and_two_lines_do_not_meet(both, text_of):
    build = make_kit(design=two_cells(), state="building")
    one, two = both
    page, address = f"/builds/{build.code}/kit/", f"/builds/{build.code}/kit/pack/"
    first, second = (
        {"what": what, "basis": basis, "once": str(uuid.uuid4())}
        for basis, what in lines_of(one.get(page).content.decode())[:2]
    )

    assert one.post(address, {**first, "count": "1"}).status_code == 302
    assert two.post(address, {**second, "count": "1"}).status_code == 302
    refused = two.post(address, {**first, "count": "0", "once": str(uuid.uuid4())})

    assert refused.status_code == 422
    assert "1 in the box (Cora Lind, " in text_of(refused)


def test_a_builder_is_told_the_first_name_of_who_changed_it(
    client_of, coordinator, builder, opened, text_of, this_day
):
    build = make_kit(design=two_cells(), state="building")
    page, address = f"/builds/{build.code}/kit/", f"/builds/{build.code}/kit/pack/"
    reader, coordinating = client_of(builder), client_of(coordinator)
    basis, what = lines_of(reader.get(page).content.decode())[0]
    coordinating.post(address, {"what": what, "count": "1", "basis": basis})

    refused = reader.post(address, {"what": what, "count": "0", "basis": basis})

    assert "1 in the box (Cora, " in text_of(refused)


def lines_of(page):
    """What each form of the packing list is about, and what it is based on."""
    return re.findall(r'name="basis" value="([^"]+)".*?name="what" value="([^"]+)"', page, re.S)


def test_a_button_on_a_page_that_is_no_longer_true_says_so_and_changes_nothing(
    make_animal, both, opened, text_of
):
    animal = make_animal("Ida", left_on=timezone.localdate(), left_why="adopted")
    one, two = both
    page, button = f"/animals/{animal.code}/", f"/animals/{animal.code}/come-back/"
    stale = opened(two, page, button)
    one.post(button, {"basis": opened(one, page, button)})
    Animal.objects.filter(pk=animal.pk).update(left_on=timezone.localdate(), left_why="died")
    one.post(button, {})

    answer = two.post(button, {"basis": stale}, headers={"referer": f"http://testserver{page}"})

    assert answer.status_code == 409
    assert "Nothing was changed." in text_of(answer)
    assert f'href="http://testserver{page}"' in answer.content.decode()


def test_a_page_that_was_opened_before_forms_carried_this_still_works(make_home, both):
    home = make_home("Wren", area="North", most_enclosures=4)

    assert edit(both[0], home, "", area="South").status_code == 302


@pytest.mark.parametrize("made_up", ["x", "-", "é" * 30, "a" * 5_000])
def test_a_token_that_somebody_made_up_is_no_error(made_up, make_home, both):
    home = make_home("Wren", area="North", most_enclosures=4)

    assert edit(both[0], home, made_up, area="South").status_code in (302, 422)
