"""When the people of a home leave: all that is there is handed on in one form."""

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import Any, NamedTuple

from django import forms
from django.db import transaction
from django.forms import BoundField
from django.utils.translation import gettext, gettext_lazy

from habitats.animals.models.acts import Act, recording
from habitats.animals.models.groups import Group
from habitats.animals.models.stays import move_in
from habitats.common.fields import DayField, use_today
from habitats.common.happened import Elsewhere
from habitats.enclosures.forms import DoubtfulForm, doubts
from habitats.enclosures.models.changes import change_state
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.enclosures.models.standing import stand
from habitats.homes.forms.home_field import HomeField
from habitats.homes.models.handing_on import LeftThing
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person

TO_HOME, TO_STORE, RETIRED = "home", "store", "retired"
WHAT = [
    ("", gettext_lazy("Not decided yet")),
    (TO_HOME, gettext_lazy("To another home")),
    (TO_STORE, gettext_lazy("Back to store, in no home")),
    (RETIRED, gettext_lazy("Retire it")),
]


class LeftEnclosure(NamedTuple):
    """``group``: who lives in it; None: nobody. ``who``: their names."""

    enclosure: Enclosure
    group: Group | None
    who: str


class LeftRow(NamedTuple):
    """One line of the form. ``where`` None: no animals live there."""

    left: LeftEnclosure
    where: BoundField | None
    what: BoundField
    home: BoundField


class ThingRow(NamedTuple):
    thing: LeftThing
    home: BoundField


OFFERED = "homes_offered"  # the id of the list on the page
# What a move of a group brings that has to be read first, in sentences.
Judge = Callable[[Group, Enclosure], list[str]]


def _other_home() -> HomeField:
    """All of them offer the same homes, by one list on the page."""
    line = forms.TextInput(attrs={"list": OFFERED})
    return HomeField(label=gettext("New home"), required=False, widget=line)


class HandOnForm(DoubtfulForm):
    """What is left open stays at the home, and is listed again."""

    day = DayField(label=gettext_lazy("Day"))

    def __init__(
        self,
        *args: Any,
        home: Home,
        left: Sequence[LeftEnclosure],
        things: Sequence[LeftThing],
        free: Sequence[tuple[Enclosure, str]],
        judge: Judge,
        reader: Person,
        today: date,
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.home, self.left, self.things = home, left, things
        self.free = {one.code: one for one, _words in free}
        self.judge, self.reader = judge, reader
        places: list[tuple[str, Any]] = [("", gettext_lazy("Stay in it"))]
        places += [(one.code, words) for one, words in free]
        for one in left:
            code = one.enclosure.code
            if one.group:
                self.fields[f"where_{code}"] = forms.ChoiceField(
                    label=gettext("Animals"), choices=places, required=False
                )
            self.fields[f"what_{code}"] = forms.ChoiceField(
                label=gettext("Enclosure"), choices=WHAT, required=False
            )
            self.fields[f"home_{code}"] = _other_home()
        for thing in things:
            self.fields[f"thing_{thing.key}"] = _other_home()
        use_today(self, today)

    def rows(self) -> Iterator[LeftRow]:
        for one in self.left:
            code = one.enclosure.code
            where = self[f"where_{code}"] if one.group else None
            yield LeftRow(one, where, self[f"what_{code}"], self[f"home_{code}"])

    def thing_rows(self) -> Iterator[ThingRow]:
        for one in self.things:
            yield ThingRow(one, self[f"thing_{one.key}"])

    def clean(self) -> None:
        told: list[str] = []
        taken: set[str] = set()
        for one in self.left:
            told += self._clean_one(one, taken)
        for thing in self.things:
            self._refuse_this_home(f"thing_{thing.key}")
        if not self.errors:
            self.ask_once_more(told)
        if not self.errors and not self._says_anything():
            raise forms.ValidationError(gettext("Choose at least one thing to hand on."))

    def _clean_one(self, one: LeftEnclosure, taken: set[str]) -> list[str]:
        """What has to be read before; refuses what cannot be."""
        code = one.enclosure.code
        where, what = self._of("where", code), self._of("what", code)
        if where in taken:
            self.add_error(
                f"where_{code}", gettext("Another group moves there. Choose another enclosure.")
            )
        self._refuse_this_home(f"home_{code}")
        home = self._of("home", code)
        if home and not what:
            self.cleaned_data[f"what_{code}"] = what = TO_HOME
        if what == TO_HOME and not home and f"home_{code}" not in self.errors:
            self.add_error(f"home_{code}", gettext("Type the home that takes it."))
        if what in (TO_STORE, RETIRED) and one.group and not where:
            self.add_error(
                f"what_{code}", gettext("Animals live in it. Choose where they move, first.")
            )
        told = []
        if where:
            taken.add(where)
            assert one.group is not None
            told += self.judge(one.group, self.free[where])
        if what == TO_HOME and isinstance(home, Home):
            shape, label = one.enclosure.shape(), one.enclosure.label
            told += list(doubts(home, shape, label, self.reader.units))
        return told

    def _of(self, name: str, code: str) -> Any:
        return self.cleaned_data.get(f"{name}_{code}") or ""

    def _refuse_this_home(self, name: str) -> None:
        if self.cleaned_data.get(name) == self.home:
            self.add_error(name, gettext("This is the home itself. Choose another one."))

    def _says_anything(self) -> bool:
        asked = ("where_", "what_", "thing_")
        return any(value for name, value in self.cleaned_data.items() if name.startswith(asked))

    def hand_on(self, *, by: Person) -> None:
        """All or nothing. Raises ``Elsewhere`` with a sentence."""
        day = self.cleaned_data["day"]
        with transaction.atomic():
            for one in self.left:
                if where := self._of("where", one.enclosure.code):
                    assert one.group is not None
                    move_in(one.group, self.free[where], day, by=by)
            for one in self.left:
                self._hand_on_enclosure(one.enclosure, day, by)
            for thing in self.things:
                if home := self.cleaned_data[f"thing_{thing.key}"]:
                    thing.hand_on(home)

    def _hand_on_enclosure(self, enclosure: Enclosure, day: date, by: Person) -> None:
        what = self._of("what", enclosure.code)
        if what == RETIRED:
            change_state(enclosure, EnclosureState.RETIRED, on=day, by=by)
        elif what:
            with recording(Act.Kind.STAND, day, by=by):
                self._stand(enclosure, day, by)

    def _stand(self, enclosure: Enclosure, day: date, by: Person) -> None:
        home = self._of("home", enclosure.code)
        if self._of("what", enclosure.code) == TO_HOME:
            stand(enclosure, home, day, by=by)
            return
        standing = enclosure.standings.open().filter(home=self.home).first()
        if standing is None:  # another request was quicker
            return
        if day < standing.since:
            raise Elsewhere(gettext("An enclosure came here later. Enter a later day."))
        standing.end(day, by)
