"""A slip is undone as what it was: all stands as if it had not been, and the history tells both."""

import random
import uuid

import pytest

from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.adoptions import Adoption
from habitats.animals.models.acts import Act, Undone, recording
from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import companions_of
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Group, Membership, Override
from habitats.animals.models.joining import begin_with, discharge, join, part, take_back
from habitats.animals.models.merging import merge
from habitats.animals.models.stays import Stay, leave, move_in
from habitats.animals.models.undoing import CannotUndo, hindrance_to, undo
from habitats.common.happened import Elsewhere
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.enclosures.models.standing import Standing, stand
from habitats.readings.models.due_rows import DueRow
from habitats.readings.models.readings import Reading

pytestmark = pytest.mark.django_db


def last_act() -> Act:
    return Act.objects.latest_first().first()


def undone(act, by, why="wrong one"):
    return undo(act, why, by=by, idempotency_key=uuid.uuid4())


def days_told(rows, *names):
    """Spans that cover a day, as plain values: what everything else is derived from."""
    told = rows.values_list(*names, "since", "until")
    return sorted((one for one in told if one[-1] != one[-2]), key=str)


def as_it_stands(day):
    """All that hangs on acts, worked out by plain queries and by the rules of company."""
    groups = [one.pk for one in Group.objects.all()]
    animals = animals_by_group(groups, day(0))
    readings = Reading.objects.fresh(day(0)).order_by("enclosure")
    return {
        "memberships": days_told(Membership.objects.all(), "animal", "group"),
        "stays": days_told(Stay.objects.all(), "group", "enclosure"),
        "standings": days_told(Standing.objects.all(), "enclosure", "home"),
        "states": [(one.pk, one.state_now(), one.ready_since()) for one in every_enclosure()],
        "gone": sorted(Animal.objects.exclude(left_on=None).values_list("code", "left_on")),
        "companions": [
            companions_of(sorted(animals[group], key=lambda one: one.pk))
            for group in groups
            if animals.get(group)
        ],
        "overrides": [one.pk for one in Override.objects.holding(groups)],
        "readings": list(
            readings.values_list("enclosure", "home", "group", "state", "residents", "blocks")
        ),
        "dues": sorted(
            DueRow.objects.filter(animal=None).values_list("enclosure", "kind", "day", "animals"),
            key=str,
        ),
    }


def every_enclosure():
    return Enclosure.objects.order_by("pk")


# --- A random history, undone ---


@pytest.fixture
def little_rescue(make_home, make_enclosure, make_animal, make_group, day):
    home = make_home()
    enclosures = [make_enclosure(f"E{number}", home, since=day(-90)) for number in range(4)]
    animals = [
        make_animal(name, sex=sex, came_on=day(-80), born=day(-400))
        for name, sex in (("Ada", "F"), ("Bo", "M"), ("Cleo", "F"), ("Dot", "F"), ("Ed", "M"))
    ]
    make_group(animals[0], animals[1], since=day(-70), enclosure=enclosures[0])
    make_group(animals[2], since=day(-60), enclosure=enclosures[1])
    return animals, enclosures


def some_act(chosen, animals, enclosures, on, by):
    """One of the things that coordinators do, on whatever comes to hand."""
    animal, enclosure = chosen.choice(animals), chosen.choice(enclosures)
    group = chosen.choice(list(Group.objects.all()))
    match chosen.randrange(7):
        case 0 | 1:
            move_in(group, enclosure, on, by=by)
        case 2:
            join(group, animal, on, by=by)
        case 3:
            part(animal, on, by=by)
        case 4:
            leave(group, on, by=by)
        case 5:
            animal.refresh_from_db()
            if animal.is_here:
                discharge(animal, on, "adopted", by=by)
            else:
                take_back(animal, on, by=by)
        case 6:
            begin_with(chosen.sample(animals, 2), "guinea_pig", on, by=by)


@pytest.mark.spread(days=3)
@pytest.mark.parametrize("seed", range(6))
def test_after_each_act_of_a_random_history_undoing_leaves_all_as_before(
    seed, little_rescue, coordinator, day
):
    chosen = random.Random(seed)
    animals, enclosures = little_rescue
    compared = 0
    for step in range(14):
        before, last = as_it_stands(day), last_act()
        try:
            some_act(chosen, animals, enclosures, day(step - 20), coordinator)
        except Elsewhere:
            continue
        act = last_act()
        if act == last:
            continue
        if chosen.random() < 0.6:
            undone(act, coordinator)
            assert as_it_stands(day) == before
            compared += 1
    assert compared


@pytest.mark.spread(days=2)
@pytest.mark.parametrize("seed", range(2))
def test_a_history_is_undone_from_its_end_to_its_beginning(seed, little_rescue, coordinator, day):
    chosen = random.Random(100 + seed)
    animals, enclosures = little_rescue
    befores = []
    for step in range(10):
        before, last = as_it_stands(day), last_act()
        try:
            some_act(chosen, animals, enclosures, day(step - 20), coordinator)
        except Elsewhere:
            continue
        if last_act() != last:
            befores.append((last_act(), before))

    for act, before in reversed(befores):
        undone(act, coordinator)
        assert as_it_stands(day) == before

    assert Undone.objects.count() == len(befores)
    assert all(hindrance_to(act) for act, _before in befores)


# --- One by one ---


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
