"""An adoption as its page shows it."""

from datetime import date
from functools import cached_property
from typing import NamedTuple

from django.urls import reverse
from django.utils.translation import gettext as _

from habitats.adoptions.models.adoptions import (
    AdoptedAnimal,
    Adoption,
    AdoptionEvent,
    AdoptionOverride,
    AdoptionState,
)
from habitats.adoptions.models.deaths import AdopterDeath, went_on
from habitats.adoptions.models.follow_ups import AdoptionFollowUp, AdoptionFollowUpDone
from habitats.adoptions.models.home_checks import HomeCheck
from habitats.adoptions.models.reasons import (
    Reason,
    going_with,
    home_card,
    kind_unchecked,
    reasons_against,
)
from habitats.adoptions.models.steps import OPEN
from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Group, Membership
from habitats.animals.models.stays import Stay
from habitats.measures import area, length
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.pages.verdicts import VerdictCard
from habitats.structure.design import Species
from habitats.welfare.companion import Companion
from habitats.welfare.new_home import other_species
from habitats.welfare.rehoming import SOON_DAYS
from habitats.welfare.words import MANY
from habitats.wording import by_number


class AdoptionAction(NamedTuple):
    words: str
    address: str


class AdoptionFollowUpNow(NamedTuple):
    follow_up: AdoptionFollowUp
    done: AdoptionFollowUpDone | None
    is_due: bool


class DeathSoon(NamedTuple):
    """It died soon after it went; ``group``: the code of the group that it lived in before."""

    animal: Animal
    group: str


class AdoptionPage:
    """``adoption`` loaded ``with_state`` and ``with_names``."""

    def __init__(self, adoption: Adoption, person: Person, today: date) -> None:
        self.adoption, self.person, self.today = adoption, person, today
        self.rescue = Rescue.ours()

    @property
    def state(self) -> AdoptionState:
        return AdoptionState(vars(self.adoption)["state"])

    @property
    def is_open(self) -> bool:
        return self.state in OPEN

    @property
    def is_adopted(self) -> bool:
        return self.state == AdoptionState.ADOPTED

    @property
    def is_reserved(self) -> bool:
        return self.state == AdoptionState.RESERVED

    @property
    def is_on_trial(self) -> bool:
        return self.state == AdoptionState.TRIAL

    @property
    def is_over(self) -> bool:
        """The trial has come to its last day."""
        ends = vars(self.adoption)["trial_ends"]
        return self.is_on_trial and ends is not None and ends <= self.today

    @property
    def likeliest(self) -> list[AdoptionAction]:
        """The two steps that come next."""
        return self._actions()[:2]

    @property
    def others(self) -> list[AdoptionAction]:
        return self._actions()[2:]

    def _actions(self) -> list[AdoptionAction]:
        """What can be done now, the likeliest first."""
        adopted = self._action("adoption_adopted", _("Record adoption"))
        home = self._action("adoption_home", _("Check enclosure"))
        trial = self._action(
            "adoption_trial", _("Extend trial") if self.is_on_trial else _("Begin trial")
        )
        papers = [
            self._action("adoption_agreement", _("Print agreement")),
            self._action("adoption_receipt", _("Print receipt")),
        ]
        found: list[AdoptionAction] = []
        if self.is_on_trial:
            found = [adopted, self._action("adoption_end", _("Back from trial")), trial, home]
            found.append(self._action("adoption_died", _("Record death")))
        elif self.is_reserved:
            found = [trial, adopted, home] if self.check else [home, trial, adopted]
            found.append(self._action("adoption_end", _("End reservation")))
        elif self.is_adopted:
            found = self._when_adopted(papers)
        if self.is_open:
            found += [self._action("adoption_visit", _("Record pre-visit")), *papers]
        return [*found, *self._back_again(), self._action("edit_adoption", _("Edit"))]

    def _back_again(self) -> list[AdoptionAction]:
        """The enclosure of those that came back is chosen next, while they live in none."""
        if self.is_open:
            return []
        living = Membership.objects.open().filter(animal__in=[one.animal for one in self.animals])
        group = Group.objects.filter(pk__in=living.values("group")).exclude(
            stays__in=Stay.objects.open()
        )
        return [
            AdoptionAction(_("Choose enclosure"), reverse("move_group", args=[one.code]))
            for one in group.order_by("-pk")[:1]
        ]

    def _when_adopted(self, papers: list[AdoptionAction]) -> list[AdoptionAction]:
        """Where none is left with the adopter, only papers."""
        if not self.there:
            return papers
        back = self._action("adoption_end", _("Record return"))
        return [papers[0], back, papers[1], self._action("adoption_died", _("Record death"))]

    def _action(self, name: str, words: str) -> AdoptionAction:
        return AdoptionAction(words, reverse(name, args=[self.adoption.code]))

    @cached_property
    def animals(self) -> list[AdoptedAnimal]:
        return sorted(
            self.adoption.animals.all(), key=lambda one: (by_number(one.animal.name), one.pk)
        )

    @property
    def there(self) -> list[Animal]:
        """Those that are with the adopter, or go there."""
        return [one.animal for one in self.animals if one.ended_on is None]

    @property
    def gone_already(self) -> list[Animal]:
        """Departed as adopted, though the adoption is open: it is to be recorded, or ended."""
        return [one for one in self.there if self.is_open and not one.is_here]

    @property
    def left_alone(self) -> Animal | None:
        """One of several that is with the adopter still, and nothing of its kind with it."""
        is_away = self.is_adopted or self.is_on_trial
        if not is_away or self.adoption.at_home.number or len(self.animals) == 1:
            return None
        return self.there[0] if len(self.there) == 1 else None

    @property
    def at_home(self) -> str:
        """Who lives there already, in words; empty for nobody."""
        company = self.adoption.at_home
        words = list(company.words)
        if company.others:
            kind = MANY[other_species(Species(self.adoption.species))]
            words.append(
                _("%(kind)s in the same enclosure: %(count)d")
                % {"kind": str(kind), "count": company.others}
            )
        return ", ".join(words)

    @property
    def kind(self) -> str:
        """In the plural."""
        return str(MANY[Species(self.adoption.species)])

    @property
    def kind_unchecked(self) -> str:
        return kind_unchecked(self.adoption, self.rescue) if self.is_open else ""

    @cached_property
    def deaths(self) -> list[AdopterDeath]:
        found = AdopterDeath.objects.filter(adopted__adoption=self.adoption)
        found = found.select_related("adopted__animal", "made_by", "strike__made_by")
        return list(found.order_by("-on", "-pk"))

    @cached_property
    def soon_after(self) -> DeathSoon | None:
        """The first death so soon after they went that an infection may be from where they were."""
        went = went_on(self.adoption)
        soon = [one for one in self._standing_deaths() if went and (one.on - went).days < SOON_DAYS]
        if not soon:
            return None
        animal = soon[-1].adopted.animal
        lived = Group.objects.filter(memberships__animal=animal).order_by("-memberships__since")
        code = lived.values_list("code", flat=True).first()
        return DeathSoon(animal, code) if code else None

    def _standing_deaths(self) -> list[AdopterDeath]:
        return [one for one in self.deaths if not hasattr(one, "strike")]

    @cached_property
    def going(self) -> tuple[Companion, ...]:
        return going_with(self.adoption.open_animals(), self.today).going

    @cached_property
    def check(self) -> HomeCheck | None:
        return self.adoption.home_checks.newest_first().select_related("made_by").first()

    @cached_property
    def card(self) -> VerdictCard | None:
        if self.check is None:
            return None
        units = self.person.units
        return home_card(self.adoption, self.check, self.going, self.today, self.rescue, units)

    @property
    def measures(self) -> str:
        """What was measured, in the reader's units; empty for a design."""
        check, units = self.check, self.person.units
        if check is None or check.width_mm is None or check.depth_mm is None:
            return ""
        sides = [length(one, units) for one in (check.width_mm, check.depth_mm)]
        if check.height_mm:
            sides.append(length(check.height_mm, units))
        return " × ".join(sides)

    @property
    def upper(self) -> str:
        upper_mm2 = self.check.upper_mm2 if self.check else None
        return area(upper_mm2, self.person.units) if upper_mm2 else ""

    @cached_property
    def reasons(self) -> list[Reason]:
        """What speaks against the next step; nothing once it is over."""
        if not self.is_open:
            return []
        units = self.person.units
        return reasons_against(self.adoption, self.today, self.rescue, units, with_home=True)

    @property
    def asks(self) -> list[Reason]:
        return [one for one in self.reasons if one.override is None]

    @cached_property
    def events(self) -> list[AdoptionEvent]:
        return list(self.adoption.events.select_related("made_by").order_by("-pk"))

    @cached_property
    def overrides(self) -> list[AdoptionOverride]:
        return list(self.adoption.overrides.select_related("made_by").order_by("pk"))

    @cached_property
    def follow_ups(self) -> list[AdoptionFollowUpNow]:
        found = self.adoption.follow_ups.select_related("done__made_by").soonest_first()
        return [self._follow_up(one) for one in found]

    def _follow_up(self, one: AdoptionFollowUp) -> AdoptionFollowUpNow:
        done: AdoptionFollowUpDone | None = getattr(one, "done", None)
        is_due = done is None and self.is_adopted and one.on <= self.today
        return AdoptionFollowUpNow(one, done, is_due)
