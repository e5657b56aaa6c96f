"""What is due, kept as rows: the same as worked out directly, whatever happened before.

Beside them stands a checker that knows nothing of rows, of what was forgotten or of a new day: it
asks who is together where, one animal after the other, and what the pure rules say is due.
"""

from contextlib import suppress
from datetime import timedelta
from random import Random

import pytest

from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import companions_of, with_facts
from habitats.animals.models.groups import Group
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.models.stays import leave, move_in
from habitats.board.models.tasks import dues_seen_by
from habitats.common.happened import Elsewhere
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.readings.models import unhoused
from habitats.readings.models.due_rows import DueRow
from habitats.readings.models.readings import Reading
from habitats.readings.models.unhoused import Unhoused
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import dues_of

pytestmark = pytest.mark.django_db


def worked_out(today):
    """Of everybody in our care: (where, kind, day, whom it concerns)."""
    together = {}
    for animal in with_facts(Animal.objects.all(), today).order_by("name", "pk"):
        if animal.left_on:
            continue
        groups = [one.group for one in animal.memberships.all() if _covers(one, today)]
        together.setdefault(groups[0].pk if groups else f"alone {animal.pk}", []).append(animal)
    found = set()
    for group, animals in together.items():
        stays = [] if isinstance(group, str) else Group.objects.get(pk=group).stays.all()
        where = [one.enclosure for one in stays if _covers(one, today)]
        structure = where[0].structure() if where else None
        for due in dues_of(companions_of(animals), today, Rescue.ours(), structure):
            place = where[0].code if where else ""
            found.add((place, due.kind.value, due.day, due.animals))
    return found


def _covers(span, day):
    return span.since <= day and (span.until is None or span.until > day)


def as_kept(person, today):
    rows = dues_seen_by(person, today).of_animals().exclude(kind="look")
    return {
        (
            row.enclosure.code if row.enclosure else "",
            row.kind,
            row.day,
            tuple(code for code, _name in row.animals),
        )
        for row in rows.select_related("enclosure")
    }


class RandomDays:
    """A small rescue to which something happens each day."""

    def __init__(self, seed, coordinator, today, make_animal):
        self.chance, self.by, self.today = Random(seed), coordinator, today
        for number in range(10):
            age = self.chance.choice([20, 45, 90, 400, 900])
            make_animal(
                f"Pip {number}",
                sex=self.chance.choice(["F", "F", "M"]),
                born=today - timedelta(days=age),
                came_on=today - timedelta(days=min(age, 60)),
                grams=self.chance.choice([None, 300, 850]),
            )

    def happen(self):
        act = self.chance.choice([self._weigh, self._join, self._move, self._leave, self._apart])
        with suppress(Elsewhere):  # which a page would have refused
            act()

    def _animal(self):
        return self.chance.choice(list(Animal.objects.order_by("pk")))

    def _group(self):
        groups = list(Group.objects.live().order_by("pk"))
        return self.chance.choice(groups) if groups else None

    def _weigh(self):
        self._animal().weigh(self.chance.randint(280, 950), self.today, by=self.by)

    def _join(self):
        group = self._group() if self.chance.random() < 0.6 else None
        group = group or Group.objects.begin("guinea_pig", by=self.by)
        group.admit(self._animal(), self.today, by=self.by)

    def _move(self):
        group = self._group()
        if group:
            enclosure = self.chance.choice(list(Enclosure.objects.order_by("pk")))
            move_in(group, enclosure, self.today, by=self.by)

    def _leave(self):
        group = self._group()
        if group:
            leave(group, self.today, by=self.by)

    def _apart(self):
        until = self.today + timedelta(days=14)
        Quarantine.objects.create(
            animal=self._animal(), since=self.today, until=until, made_by=self.by
        )


@pytest.mark.parametrize("seed", range(4))
def test_rows_are_the_same_as_what_is_worked_out_directly(
    seed, coordinator, today, make_animal, make_home, make_enclosure, answer_to
):
    answer_to("ch-tschv")
    home = make_home()
    for label in ("North wall", "South wall", "Loft"):
        make_enclosure(label, home)
    days = RandomDays(seed, coordinator, today, make_animal)
    seen = set()
    for _ in range(12):
        days.happen()
        if days.chance.random() < 0.3:
            days.today += timedelta(days=days.chance.randint(1, 9))
        kept = as_kept(coordinator, days.today)
        assert kept == worked_out(days.today)
        seen |= {kind for _where, kind, _day, _whom in kept}
    assert "weigh" in seen


def test_what_is_forgotten_leaves_no_row_behind(
    make_animal, make_enclosure, make_group, coordinator, today, day, answer_to
):
    answer_to("ch-tschv")
    enclosure = make_enclosure()
    group = make_group(make_animal(born=day(-600)), enclosure=enclosure)
    Reading.objects.fresh(today)
    assert DueRow.objects.filter(enclosure=enclosure).exists()

    leave(group, today, by=coordinator)
    enclosure.set_state(EnclosureState.RETIRED, on=today, by=coordinator)
    Reading.objects.fresh(today)

    assert not DueRow.objects.filter(enclosure=enclosure).exists()


def test_an_animal_that_leaves_our_care_is_no_longer_without_an_enclosure(
    make_animal, coordinator, today
):
    animal = make_animal()
    assert Unhoused.objects.fresh(today).get().animal == animal

    animal.left_on, animal.left_why = today, Animal.Leaving.ADOPTED
    animal.save()

    assert not Unhoused.objects.fresh(today).exists()
    assert not DueRow.objects.filter(animal=animal).exists()


def test_what_changes_while_animals_without_an_enclosure_are_looked_through_is_told(
    make_animal, coordinator, today, day, monkeypatch
):
    animal = make_animal(born=day(-600))
    to_come = [850]

    def read_and_weigh(*asked):
        found = read_off(*asked)
        while to_come:
            animal.weigh(to_come.pop(), today, by=coordinator)
        return found

    read_off = unhoused._read_off
    monkeypatch.setattr(unhoused, "_read_off", read_and_weigh)

    assert Unhoused.objects.fresh(today).get().animal == animal
    assert not DueRow.objects.filter(animal=animal, kind="weigh", day__lte=today).exists()


# --- A new day ---


# What a reading has for its own sake.
NOT_TOLD = ("id", "holds_until", "times_forgotten")


def all_readings():
    """Of all enclosures, without for how long they hold; with their dues."""
    found = [
        {name: value for name, value in one.items() if name not in NOT_TOLD}
        for one in Reading.objects.order_by("enclosure").values()
    ]
    facts = ("enclosure", "home", "kind", "day", "until", "undated", "animals", "sentence_json")
    dues = DueRow.objects.filter(enclosure__isnull=False).values_list(*facts)
    return found, sorted(map(str, dues))


@pytest.mark.parametrize("seed", range(2))
def test_what_holds_from_an_earlier_day_is_what_would_be_read_anew(
    seed, coordinator, today, make_animal, make_home, make_enclosure, answer_to
):
    answer_to("ch-tschv")
    home, made = make_home(), []
    for label in ("North wall", "South wall", "Loft"):
        make_enclosure(label, home)
    days = RandomDays(seed, coordinator, today, make_animal)
    for _ in range(12):
        days.happen()
    for _ in range(15):
        days.today += timedelta(days=days.chance.choice([1, 1, 2, 5]))
        if days.chance.random() < 0.2:
            days.happen()
        carried = Reading.objects.filter(day__lt=days.today, holds_until__gt=days.today)
        made.append(carried.filter(animals__gt=0).count())
        Reading.objects.fresh(days.today)
        kept = all_readings()
        Reading.objects.forget()
        Reading.objects.fresh(days.today)
        assert kept == all_readings()
    assert any(made), "nothing held"


def facts_of(enclosure):
    one = Reading.objects.values().get(enclosure=enclosure)
    found = {name: value for name, value in one.items() if name not in NOT_TOLD}
    return found, list(enclosure.due_rows.order_by("pk").values_list("kind", "day", "home"))


def test_a_free_enclosure_is_on_the_next_day_what_it_would_be_made_anew(
    make_home, make_enclosure, answer_to, today, day
):
    answer_to("ch-tschv")
    enclosure = make_enclosure(home=make_home())
    Reading.objects.fresh(today)
    kept = enclosure.reading.pk, list(enclosure.due_rows.values_list("pk", flat=True))

    Reading.objects.fresh(day(1))
    as_carried = facts_of(enclosure)
    assert list(enclosure.due_rows.values_list("pk", flat=True)) == kept[1], "written again"
    Reading.objects.forget()
    Reading.objects.fresh(day(1))

    assert facts_of(enclosure) == as_carried


def test_a_group_that_was_to_move_in_on_the_next_day_is_seen_there_then(
    make_animal, make_home, make_enclosure, make_group, coordinator, answer_to, today, day
):
    answer_to("ch-tschv")
    enclosure = make_enclosure(home=make_home())
    group = make_group(make_animal(born=day(-600), grams=850))
    move_in(group, enclosure, day(1), by=coordinator)
    assert Reading.objects.fresh(today).get(enclosure=enclosure).animals == 0

    assert Reading.objects.fresh(day(1)).get(enclosure=enclosure).animals == 1
