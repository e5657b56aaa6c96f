"""What can be done about one enclosure: the two likeliest things, and the rest in a menu.

Which are the likeliest hangs on who reads and on how the enclosure is: common practice, no source.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from habitats.enclosures.models.enclosures import EnclosureState
from habitats.enclosures.models.first_built import NOT_BUILT

STANDING, RETIRED = EnclosureState.STANDING, EnclosureState.RETIRED

# In the order of the menu.
WORDS = {
    "change": _("Change linens"),
    "weigh": _("Weigh"),
    "move_group": _("Move group"),
    "move_in": _("Move group in"),
    "plan_build": _("Plan build"),
    "build": _("Show build"),
    "state": _("Change state"),
    "plan_repair": _("Plan repair"),
    "check": _("Safety check"),
    "report": _("Report fault"),
    "linens": _("Linens"),
    "card": _("Enclosure card"),
    "suspect": _("Report suspected infection"),
    "edit": _("Edit"),
    "alter": _("Change enclosure"),
    "move": _("Move enclosure"),
    "retire": _("Retire"),
    "take_back": _("Parts taken back"),
}


class EnclosureAction(NamedTuple):
    words: str
    address: str


@dataclass(frozen=True)
class Circumstances:
    """What the choice hangs on. ``group``, ``home``: their codes, empty without one.
    ``build``: the code of the last one that makes it, while it is only planned.

    ``must_move``: those who live there cannot stay together, or not in this enclosure.
    """

    code: str
    state: str
    group: str
    home: str
    must_move: bool
    has_faults: bool
    is_unsafe: bool
    build: str = ""


@dataclass(frozen=True, eq=False)  # without slots: what was asked is kept
class EnclosureActions:
    """``cares_for_it``: the reader sees its animals. To others, who build, none is offered."""

    there: Circumstances
    is_coordinator: bool = False
    cares_for_it: bool = False

    @property
    def likeliest(self) -> list[EnclosureAction]:
        """Two, the likelier first."""
        return [self._action(one) for one in self._likeliest]

    @property
    def others(self) -> list[EnclosureAction]:
        """Everything else that this person may do, in the order of the menu."""
        left = self._offered - set(self._likeliest)
        return [self._action(one) for one in WORDS if one in left]

    @property
    def can_be_altered(self) -> bool:
        """By coordinators, where something stands."""
        stands = self.there.state not in (*NOT_BUILT, RETIRED)
        return stands and self.is_coordinator

    @property
    def altering(self) -> str:
        """Where its alteration is drawn."""
        return reverse("builds:change_enclosure", args=[self.there.code])

    @cached_property
    def _likeliest(self) -> tuple[str, str]:
        if self.is_coordinator:
            return self._for_coordinators()
        if self.cares_for_it and self.there.group:
            return "change", "report"
        return "report", "check"

    def _for_coordinators(self) -> tuple[str, str]:
        there = self.there
        if there.group:
            return self._where_animals_live()
        if there.has_faults:
            return "plan_repair", "check"
        if there.state in NOT_BUILT:
            return "build" if there.build else "plan_build", "state"
        if there.state == STANDING:
            return "move_in", "report"
        if there.state == RETIRED:
            return "take_back", "edit"
        return "check", "state"

    def _where_animals_live(self) -> tuple[str, str]:
        if self.there.is_unsafe:
            return "move_group", "plan_repair"
        if self.there.must_move:
            return "move_group", "change"
        return "change", "weigh" if self.there.home else "move_group"

    @cached_property
    def _offered(self) -> set[str]:
        there, found = self.there, {"check", "report"}
        if self.cares_for_it:
            found |= {"linens", "card"}
            if there.group:
                found |= {"change", "weigh"} if there.home else {"change"}
        if not self.is_coordinator:
            return found
        found |= {"suspect", "edit", "move"}
        if self.can_be_altered:
            found.add("alter")
        found.add("take_back" if there.state == RETIRED else "retire")
        if there.group:
            found.add("move_group")
        elif there.state == STANDING and not there.is_unsafe:
            found.add("move_in")
        if there.has_faults:
            found.add("plan_repair")
        if there.state in NOT_BUILT:
            found |= {"plan_build", "state"}
        return found

    def _action(self, name: str) -> EnclosureAction:
        return EnclosureAction(str(WORDS[name]), self._addresses[name])

    @cached_property
    def _addresses(self) -> dict[str, str]:
        there = self.there

        def of(name: str) -> str:
            return reverse(name, args=[there.code])

        retiring = of("builds:retire_enclosure")
        return {
            "change": of("change_linens"),
            "weigh": _asking(reverse("weigh"), home=there.home),
            "move_group": reverse("move_group", args=[there.group]) if there.group else "",
            "move_in": _asking(reverse("groups"), into=there.code),
            "plan_build": _asking(reverse("builds:new_build"), enclosure=there.code),
            "build": reverse("builds:build", args=[there.build]) if there.build else "",
            "state": of("enclosure") + "#state",
            "plan_repair": of("builds:plan_repair"),
            "check": of("check_enclosure"),
            "report": of("report_fault"),
            "linens": of("enclosure_linens"),
            "card": of("enclosure_card_pdf"),
            "suspect": _asking(reverse("new_trace"), sort="enclosure", code=there.code),
            "edit": of("edit_enclosure"),
            "alter": self.altering,
            "move": of("move_enclosure"),
            "retire": retiring,
            "take_back": retiring,
        }


def _asking(address: str, **asked: str) -> str:
    given = {name: value for name, value in asked.items() if value}
    return f"{address}?{urlencode(given)}" if given else address
