"""What groups tell of contacts, against plain intervals over a thousand rescues made by chance."""

import random
from datetime import date, timedelta

import pytest

from habitats.animals.models.animals import Animal
from habitats.animals.models.births import Birth
from habitats.animals.models.companions import companions_of, with_facts
from habitats.animals.models.groups import Group, Membership
from habitats.common.codes import new_code
from habitats.welfare.litters import litter_span

RESCUES = 1000
# Second-hand, as cited in habitats/welfare, and written down a second time here.
LONGEST = {"guinea_pig": 72, "rabbit": 32}
WAIT = 42


@pytest.fixture
def rescues(db, coordinator, day):
    """Animals, and where they were: `[(animal, [(group, since, until), …]), …]`."""
    chance = random.Random(17)
    by = {"made_by": coordinator}
    groups, animals = [], []
    for _number in range(RESCUES):
        species = chance.choice(list(LONGEST))
        groups.append([Group(code=new_code(), species=species, **by) for _ in range(2)])
        animals.append([_animal(chance, species, day, by) for _ in range(3)])
    Group.objects.bulk_create(one for two in groups for one in two)
    Animal.objects.bulk_create(one for three in animals for one in three)
    spans = [
        (animal, _spans(chance, two, day))
        for two, three in zip(groups, animals, strict=True)
        for animal in three
    ]
    Membership.objects.bulk_create(
        Membership(
            group=group,
            animal=animal,
            since=since,
            until=until,
            ended_by=until and coordinator,
            **by,
        )
        for animal, stays in spans
        for group, since, until in stays
    )
    Birth.objects.bulk_create(
        Birth(mother=animal, on=day(-chance.randrange(60)), young=2, **by)
        for animal, _stays in spans
        if animal.sex == "F" and chance.random() < 0.1
    )
    return spans


def _animal(chance, species, day, by):
    castrated = day(-chance.randrange(1, 200)) if chance.random() < 0.3 else None
    return Animal(
        code=new_code(),
        name="Pip",
        species=species,
        sex=chance.choice(["F", "F", "M", "M", ""]),
        came_on=day(-400),
        is_castrated=castrated is not None,
        castrated_on=castrated,
        **by,
    )


def _spans(chance, groups, day):
    """One to three stays, one after another; the last may still go on."""
    bounds = sorted(chance.sample(range(1, 160), 4), reverse=True)
    stays = [
        (chance.choice(groups), day(-bounds[at]), day(-bounds[at + 1]))
        for at in range(chance.randrange(1, 4))
    ]
    if chance.random() < 0.5:
        group, since, _until = stays.pop()
        stays.append((group, since, None))
    return stays


def shared(mine, his, today):
    """The first and last days that two stays in one group share, the day of parting with them."""
    for group, since, until in mine:
        for his_group, came, went in his:
            first, parted = max(since, came), min(until or date.max, went or date.max)
            if group is his_group and first < parted:
                yield first, min(parted, today)


def may_carry(animal, stays, others, birth, today):
    """Whether a litter may still come of a day of the last weeks; asked day by day."""
    if animal.sex == "M" or animal.is_castrated:
        return False
    days = [today - timedelta(days=ago) for ago in range(LONGEST[animal.species] + 1)]
    return any(
        first <= day <= last
        for other, his in others
        for first, last in shared(stays, his, today)
        for day in days
        if could_sire(other, day) and not (birth and day < birth)
    )


def could_sire(animal, day):
    """All are grown; whose sex is not recorded counts as a male."""
    waits = not animal.is_castrated or (day - animal.castrated_on).days < WAIT
    return animal.sex != "F" and waits


def test_each_animal_with_a_contact_is_warned_of_and_no_other(rescues, today):
    births = dict(Birth.objects.order_by("on").values_list("mother", "on"))
    found = companions_of(with_facts(Animal.objects.order_by("pk"), today))

    warned = {one.ref for one in found if litter_span(one, today)}

    expected = set()
    for at in range(0, len(rescues), 3):
        three = rescues[at : at + 3]
        for animal, stays in three:
            others = [(other, his) for other, his in three if other is not animal]
            if may_carry(animal, stays, others, births.get(animal.pk), today):
                expected.add(animal.code)
    assert warned == expected
    assert 0.1 < len(expected) / len(rescues) < 0.6


def test_what_groups_tell_takes_as_many_queries_for_many_animals_as_for_few(
    rescues, today, django_assert_num_queries
):
    for animals in (Animal.objects.order_by("pk")[:30], Animal.objects.order_by("pk")):
        with django_assert_num_queries(9):
            companions_of(with_facts(Animal.objects.filter(pk__in=animals.values("pk")), today))
