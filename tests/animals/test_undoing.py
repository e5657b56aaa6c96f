"""A slip is undone as what it was: all stands as if it had not been, and the history tells both."""

import uuid

import pytest

from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.adoptions import Adoption
from habitats.animals.models.acts import Act, Undone, recording
from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import companions_of
from habitats.animals.models.groups import Override
from habitats.animals.models.joining import begin_with, discharge, join, part, take_back
from habitats.animals.models.merging import merge
from habitats.animals.models.stays import Stay, move_in
from habitats.animals.models.undoing import CannotUndo, hindrance_to, undo
from habitats.enclosures.models.enclosures import EnclosureState
from habitats.enclosures.models.standing import stand
from tests.support.undoing import as_it_stands, last_act, undone

pytestmark = pytest.mark.django_db


def test_a_move_that_is_undone_stays_in_the_history(lives, make_enclosure, coordinator, day):
    group, _animals, nook = lives("Pip")
    wrong = make_enclosure("Wrong")
    move_in(group, wrong, day(0), by=coordinator)

    undone(last_act(), coordinator, why="the label was read wrong")

    told = Undone.objects.get()
    assert (told.act.kind, told.made_by, told.why) == (
        Act.Kind.MOVE,
        coordinator,
        "the label was read wrong",
    )
    assert [one.enclosure for one in Stay.objects.on(day(0))] == [nook]
    assert (nook.state_now(), wrong.state_now()) == (EnclosureState.IN_USE, EnclosureState.STANDING)


def test_a_contact_that_never_was_warns_of_no_litter(make_animal, make_group, coordinator, day):
    sow, boar = make_animal("Ida", sex="F"), make_animal("Bo", sex="M")
    make_group(sow, since=day(-10))
    with_him = make_group(boar, since=day(-10))
    join(with_him, sow, day(-5), by=coordinator)
    assert told_contacts(sow, day)

    undone(last_act(), coordinator)

    assert not told_contacts(sow, day)


def told_contacts(animal, day):
    from habitats.animals.models.companions import with_facts

    (companion,) = companions_of(with_facts(Animal.objects.filter(pk=animal.pk), day(0)))
    return companion.contacts


def test_what_later_builds_on_it_is_named_and_nothing_is_changed(
    lives, make_enclosure, make_animal, coordinator, day
):
    group, _animals, _nook = lives("Pip")
    move_in(group, make_enclosure("New"), day(-2), by=coordinator)
    move = last_act()
    join(group, make_animal("Moss"), day(-1), by=coordinator)

    with pytest.raises(
        CannotUndo, match=r"“Joined a group” of 9 March 2027\. Undo that first"
    ) as no:
        undone(move, coordinator)

    assert (no.value.hindrance.page, no.value.hindrance.of) == ("undo", last_act().pk)
    undone(last_act(), coordinator)
    undone(move, coordinator)


def test_an_enclosure_that_needs_repair_since_stands_against_it(
    lives, make_enclosure, coordinator, day
):
    group, _animals, nook = lives("Pip")
    move_in(group, make_enclosure("New"), day(-2), by=coordinator)
    nook.set_state(EnclosureState.NEEDS_REPAIR, on=day(-1), by=coordinator)

    against = hindrance_to(last_act())

    assert "was marked “Needs repair” on 9 March 2027, after it" in against.sentence
    assert (against.page, against.of) == ("enclosure", nook.code)


def test_a_departure_is_undone_with_the_place_of_its_group(lives, coordinator, day):
    group, (pip,), nook = lives("Pip")
    discharge(pip, day(-1), "adopted", by=coordinator)

    undone(last_act(), coordinator)

    pip.refresh_from_db()
    assert pip.is_here
    assert [one.group for one in Stay.objects.on(day(0))] == [group]
    assert nook.state_now() == EnclosureState.IN_USE


def test_one_that_was_weighed_after_it_left_is_not_brought_back_so(lives, coordinator, day):
    _group, (pip,), _nook = lives("Pip")
    discharge(pip, day(-1), "adopted", by=coordinator)
    pip.weigh(900, day(0), by=coordinator)

    with pytest.raises(CannotUndo, match="More was recorded for Pip after it"):
        undone(last_act(), coordinator)


def test_an_intake_is_undone_with_what_its_form_did(lives, coordinator, day):
    group, _animals, _nook = lives("Moss")
    pip = Animal.objects.take_in(
        name="Pip",
        species="guinea_pig",
        came_on=day(0),
        own_id="7",
        chip="276098100021417",
        by=coordinator,
    )
    intake = last_act()
    pip.weigh(800, day(0), by=coordinator)
    join(group, pip, day(0), by=coordinator)

    undone(intake, coordinator, why="taken in twice")

    pip.refresh_from_db()
    assert (pip.is_here, pip.own_id, pip.chip, pip.get_left_why_display()) == (
        False,
        "",
        "",
        "Recorded by mistake",
    )
    assert not pip.memberships.on(day(0)).exists()
    assert pip not in Animal.objects.here()
    assert pip not in Animal.objects.gone()


def test_an_override_holds_again_when_who_came_since_never_came(
    lives, make_animal, coordinator, day
):
    group, (pip,), _nook = lives("Pip")
    given = Override.objects.create(
        group=group,
        key=f"alone {pip.code} -",
        sentence="Pip is alone.",
        reason="old",
        is_block=False,
        made_by=coordinator,
    )
    join(group, make_animal("Moss"), day(0), by=coordinator)
    assert given not in Override.objects.holding([group.pk])

    undone(last_act(), coordinator)

    assert given in Override.objects.holding([group.pk])


def test_undoing_twice_with_one_key_happens_once(lives, make_enclosure, coordinator, day):
    group, _animals, _nook = lives("Pip")
    move_in(group, make_enclosure("New"), day(0), by=coordinator)
    act, key = last_act(), uuid.uuid4()

    for _ in range(2):
        undo(act, "wrong", by=coordinator, idempotency_key=key)

    assert Undone.objects.count() == 1


def test_the_intake_of_a_double_is_not_undone_once_it_is_merged(make_animal, coordinator):
    kept, double = make_animal("Ida"), make_animal("Ida")
    intake = last_act()
    assert hindrance_to(intake) is None

    merge(kept, double, {}, by=coordinator)

    assert "has changed since" in hindrance_to(last_act()).sentence
    with pytest.raises(CannotUndo):
        undone(intake, coordinator)
    kept.refresh_from_db()
    assert kept.is_here


def test_where_a_merge_left_no_room_for_what_ended_its_end_is_not_undone(
    make_animal, make_group, coordinator, day
):
    kept, double = make_animal("Ida"), make_animal("Ida")
    make_group(double, make_animal("Bo"), since=day(-20))
    part(double, day(-10), by=coordinator)
    parted = last_act()
    make_group(kept, make_animal("Nut"), since=day(-5))
    assert hindrance_to(parted) is None

    merge(kept, double, {}, by=coordinator)

    with pytest.raises(CannotUndo):
        undone(parted, coordinator)


def test_an_enclosure_does_not_come_back_to_a_home_that_is_closed(
    make_home, make_enclosure, coordinator, day
):
    old, new = make_home("Wren"), make_home("Tern")
    nook = make_enclosure("Nook", old, since=day(-20))
    with recording(Act.Kind.STAND, day(0), by=coordinator):
        stand(nook, new, day(0), by=coordinator)
    old.close(day(0))

    against = hindrance_to(last_act())

    assert "Wren is closed" in against.sentence
    assert (against.page, against.of) == ("home_page", old.code)


def test_who_is_readmitted_already_has_no_departure_to_undo(lives, coordinator, day):
    _group, (pip,), _nook = lives("Pip")
    discharge(pip, day(-1), "adopted", by=coordinator)
    departure = last_act()
    take_back(pip, day(0), by=coordinator)

    assert "Something later builds on it: “Readmission”" in hindrance_to(departure).sentence


def test_a_readmission_that_was_a_slip_is_undone_and_then_the_departure(lives, coordinator, day):
    _group, (pip,), _nook = lives("Pip")
    here = as_it_stands(day)
    discharge(pip, day(-1), "adopted", by=coordinator)
    gone = as_it_stands(day)
    take_back(pip, day(0), by=coordinator)

    undone(last_act(), coordinator)
    pip.refresh_from_db()
    assert (pip.left_on, pip.left_why) == (day(-1), "adopted")
    assert as_it_stands(day) == gone

    undone(Act.objects.get(kind=Act.Kind.DEPARTURE), coordinator)
    assert as_it_stands(day) == here


def test_a_readmission_is_not_undone_once_the_animal_is_in_a_group_again(lives, coordinator, day):
    _group, (pip,), _nook = lives("Pip")
    discharge(pip, day(-2), "adopted", by=coordinator)
    take_back(pip, day(-1), by=coordinator)
    readmission = last_act()
    begin_with([pip], "guinea_pig", day(-1), by=coordinator)

    assert "Undo that first" in hindrance_to(readmission).sentence


def test_who_is_here_already_is_not_readmitted_again(lives, coordinator, day):
    _group, (pip,), _nook = lives("Pip")
    before = last_act()

    take_back(pip, day(0), by=coordinator)

    assert last_act() == before


def test_who_left_with_an_adoption_comes_back_by_the_adoption(lives, coordinator, day):
    _group, (pip,), _nook = lives("Pip")
    who = Adopter.objects.write_down(by=coordinator, name="Ada Quill")
    adoption = Adoption.objects.create(
        adopter=who, species="guinea_pig", made_by=coordinator, code="AB12CD"
    )
    discharge(pip, day(-1), "adopted", by=coordinator)
    adoption.animals.create(animal=pip)

    against = hindrance_to(last_act())

    assert "left with an adoption, to Ada Quill" in against.sentence
    assert (against.page, against.of) == ("adoption", "AB12CD")


def test_a_departure_that_ended_a_reservation_is_put_right_by_hand(lives, coordinator, day):
    _group, (pip,), _nook = lives("Pip")
    who = Adopter.objects.write_down(by=coordinator, name="Ada Quill")
    adoption = Adoption.objects.create(
        adopter=who, species="guinea_pig", made_by=coordinator, code="AB12CD"
    )
    adoption.animals.create(animal=pip)
    discharge(pip, day(-1), "died", by=coordinator)

    against = hindrance_to(last_act())

    assert "was reserved for Ada Quill until this departure" in against.sentence


@pytest.fixture
def reserved(coordinator):
    """`reserved(pip)`: a row of an adoption by Ada Quill."""

    def make(animal):
        who = Adopter.objects.write_down(by=coordinator, name="Ada Quill")
        adoption = Adoption.objects.create(
            adopter=who, species="guinea_pig", made_by=coordinator, code="AB12CD"
        )
        return adoption.animals.create(animal=animal)

    return make


def test_an_adoption_that_ended_before_stands_against_no_departure(
    lives, reserved, coordinator, day
):
    _group, (pip,), _nook = lives("Pip")
    row = reserved(pip)
    row.ended_on = day(-3)
    row.save()
    discharge(pip, day(-1), "adopted", by=coordinator)

    assert hindrance_to(last_act()) is None


def test_the_intake_of_a_reserved_animal_is_undone_after_its_reservation(reserved, make_animal):
    pip = make_animal("Pip")
    intake = Act.objects.get(kind="intake", animal=pip)
    assert hindrance_to(intake) is None

    reserved(pip)

    assert "reserved for Ada Quill" in hindrance_to(intake).sentence
