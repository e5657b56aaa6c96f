"""The drawing board of an enclosure: begun at what stands, with what the alteration takes.

Nothing is kept before something is drawn: until then the board shows what stands.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.building.models.altering import Outline, refuse_to_alter
from builds.common.pace import our_pace
from builds.common.reckonings import (
    WhatStands,
    alteration_view,
    draft_alteration,
    what_stands,
)
from builds.designs.forms.all_steps import STEPS
from builds.designs.forms.steps import EditForm
from builds.designs.pages.board_facts import BoardFacts
from builds.designs.pages.board_page import BoardPage
from builds.designs.pages.board_plan import Looking
from builds.drawing.altering import change_view
from builds.making.altering.alteration import Alteration
from builds.making.altering.counting import PartKind
from builds.making.altering.kept import turned_in_place
from builds.making.altering.laying import Laying
from builds.making.altering.order import Order, order_of_alteration
from builds.making.anchoring import anchors_of
from builds.making.blank import SheetSize
from builds.making.names import SIDE_WORDS
from builds.making.pace import WorkPace
from builds.making.pup_set import pups_of
from builds.plans.models.build_plans import sheet_of_enclosure
from builds.plans.models.builds import Build, CannotBuild
from builds.store.models.costs import PricedNeeds, priced, priced_each
from builds.store.models.needs import QUICK, Shelf, items_of_alteration, stock_sheet
from habitats.designs.models.structures import faults_of, wishes_of
from habitats.enclosures.models.drawings import (
    as_it_stands,
    begin_drawing,
    is_behind_what_stands,
    open_drawing,
)
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.standing import home_of
from habitats.people.models.people import Person
from habitats.structure.design import Design as Shape
from habitats.structure.edit import Moved
from habitats.structure.faults import BadDesign, FileFault
from habitats.structure.wishes import UsualWish
from habitats.wording import joined

# What stands is of these panels, for these animals, and where it is: a drawing of it keeps to that.
NOT_HERE = ("panel", "about", "turn", "mirror")
MOST_NAMED = 2  # of what the store is short of
PANELS = (PartKind.PANEL, PartKind.DOORWAY, PartKind.RAMP, PartKind.PUP)


@dataclass(frozen=True, eq=False)  # without slots: what is worked out is kept at hand
class ChangeFacts:
    """What an alteration takes, in few words. Its sheet plan is not searched for."""

    alteration: Alteration
    pace: WorkPace

    @cached_property
    def outline(self) -> Outline:
        return Outline(self.alteration, order_of_alteration(self.alteration), self.pace)

    @property
    def is_none(self) -> bool:
        """Nothing is to be done."""
        return not self.outline.order.steps

    def is_as(self, other: "ChangeFacts | None") -> bool:
        """Whether it comes to the same parts: a front door is another panel in the same place."""
        if other is None:
            return False
        ours, theirs = self.alteration.wanted.structure, other.alteration.wanted.structure
        anchors = [anchors_of(one).keys() for one in (ours, theirs)]
        same_set = pups_of(ours) == pups_of(theirs)
        return set(ours.panels) == set(theirs.panels) and anchors[0] == anchors[1] and same_set

    @property
    def goes_on(self) -> str:
        return self._counted(self.alteration.goes_on)

    @property
    def comes_off(self) -> str:
        return self._counted(self.alteration.comes_off)

    def _counted(self, counts: Mapping[str, int]) -> str:
        """Panels of all kinds, connectors, trays or strips, and wall anchors; empty for none."""
        panels, blanks = sum(counts[one] for one in PANELS), counts[PartKind.BLANK]
        connectors, anchors = counts[PartKind.CONNECTOR], counts[PartKind.ANCHOR]
        words = [
            ngettext("%(count)d panel", "%(count)d panels", panels) % {"count": panels},
            ngettext("%(count)d connector", "%(count)d connectors", connectors)
            % {"count": connectors},
            ngettext("%(count)d piece of sheet", "%(count)d pieces of sheet", blanks)
            % {"count": blanks},
            ngettext("%(count)d wall anchor", "%(count)d wall anchors", anchors)
            % {"count": anchors},
        ]
        counted = zip(words, (panels, connectors, blanks, anchors), strict=True)
        return ", ".join(one for one, count in counted if count)

    @property
    def turned(self) -> str:
        count = len(turned_in_place(self.alteration))
        words = ngettext("%(count)d connector", "%(count)d connectors", count)
        return words % {"count": count} if count else ""

    @property
    def minutes(self) -> int:
        return self.outline.minutes

    @property
    def refuge(self) -> str:
        """Where animals are meanwhile, in a breath."""
        refuge = self.outline.order.refuge
        if self.outline.order.beside:
            return _("may stay inside")
        if refuge is None:
            return _("out meanwhile")
        return _("may stay on the %(side)s side") % {"side": SIDE_WORDS[refuge.side]}


def refuge_words(order: Order) -> str:
    """Where animals may be while it is altered, in a sentence."""
    if order.beside:
        return _("They may stay inside: nothing of the enclosure is opened.")
    if order.refuge is None:
        return _("They move out, all companions together, until the inspection is signed.")
    cells = len(order.refuge.cells)
    return ngettext(
        "They may stay in %(count)d cell on the %(side)s side, which is closed off meanwhile.",
        "They may stay in %(count)d cells on the %(side)s side, which are closed off meanwhile.",
        cells,
    ) % {"count": cells, "side": SIDE_WORDS[order.refuge.side]}


class WishCard(NamedTuple):
    """A wish with its preview. ``facts`` None: it cannot be, and the wish says why not."""

    wish: UsualWish
    facts: ChangeFacts | None = None
    priced: PricedNeeds | None = None
    picture: str = ""


class ChangeBoard(BoardPage):
    """The board as one person looks at it. ``design`` is kept once something is drawn."""

    known_steps: Mapping[str, type[EditForm]] = {
        name: form for name, form in STEPS.items() if name not in NOT_HERE
    }
    head_template = "building/_change_head.html"
    facts_template = "building/_change_facts.html"
    wishes_template = "building/_change_wishes.html"

    def __init__(self, enclosure: Enclosure, person: Person, looking: Looking) -> None:
        self.enclosure = enclosure
        design = open_drawing(enclosure) or as_it_stands(enclosure)
        super().__init__(design, person, looking)

    def take(self, form: EditForm) -> Moved:
        """Refused as a step that cannot be, where the enclosure was retired meanwhile."""
        try:
            refuse_to_alter(self.enclosure)
        except CannotBuild as reason:
            raise BadDesign([FileFault("", str(reason))]) from reason
        if not self.is_kept:
            form.edit(self.shape)  # what is refused begins no drawing
            key = form.idempotency_key
            assert key is not None, "a form that is valid has a key"
            self.design = begin_drawing(self.enclosure, by=self.person, idempotency_key=key)
            self.shape = self.design.shape()
        return super().take(form)

    def looking_so(self, looking: Looking) -> "ChangeBoard":
        return ChangeBoard(self.enclosure, self.person, looking)

    @cached_property
    def facts(self) -> BoardFacts:
        """Where it stands is told once the drawing is too large for it."""
        found = super().facts
        there = replace(found, home=found.home or home_of(self.enclosure))
        is_too_large = there.home_limit is not None and there.home_limit.fits is False
        return there if is_too_large else found

    @property
    def corner(self) -> str:
        """What is changed, in the view from the corner that is looked from."""
        if self.change is None or self.change.is_none or self.outcome.is_large:
            return super().corner
        return change_view(self.change.alteration, self.looking.corner)

    @property
    def address(self) -> str:
        return reverse("builds:change_enclosure", args=[self.enclosure.code])

    @property
    def corner_address(self) -> str:
        return reverse("builds:change_corner", args=[self.enclosure.code])

    @property
    def base(self) -> int:
        """Of what stands a number that no revision of a drawing has."""
        return super().base if self.is_kept else -self.enclosure.revision_id

    @property
    def is_behind_what_stands(self) -> bool:
        return self.is_kept and is_behind_what_stands(self.design, self.enclosure)

    @cached_property
    def build(self) -> Build | None:
        """The build that is at work on the enclosure."""
        return Build.objects.live().filter(enclosure=self.enclosure).first()

    @cached_property
    def build_is_behind(self) -> bool:
        """Whether it was planned from this drawing, and something was drawn since."""
        if self.build is None:
            return False
        plan = self.build.plans.newest_first().select_related("revision")[0]
        design = self.design
        return plan.revision.design_id == design.pk and plan.revision_id != design.current_id

    @property
    def has_animals(self) -> bool:
        return self.enclosure.stays.open().exists()

    @cached_property
    def change(self) -> ChangeFacts | None:
        """None where there is nothing to compare: it cannot be made, or what stands cannot."""
        if self.outcome.faults or faults_of(self.enclosure.shape()):
            return None
        return ChangeFacts(self._alteration(self._stands(), self.shape), self.pace)

    @cached_property
    def cost(self) -> PricedNeeds | None:
        if self.change is None or self.change.is_none:
            return None
        return priced(items_of_alteration(self._stands(), self.shape, self._shelf))

    @property
    def short_in_store(self) -> str:
        """What the store is short of, in a breath."""
        short = self.cost.short if self.cost else ()
        more = len(short) - MOST_NAMED
        told = ngettext("%(count)d more", "%(count)d more", more) % {"count": more}
        return joined(", ", [*short[:MOST_NAMED], *([told] if more > 0 else [])])

    @property
    def can_be_planned(self) -> bool:
        return self.change is not None and not self.change.is_none and self.build is None

    @cached_property
    def wish_cards(self) -> list[WishCard]:
        """The usual wishes with their previews; the store is asked once for all."""
        if self.outcome.faults or faults_of(self.enclosure.shape()):
            return []
        wishes = wishes_of(self.shape)
        able = [one for one in wishes if one.moved]
        needs = [items_of_alteration(*self._after_wish(one), self._shelf) for one in able]
        prices = dict(zip([one.code for one in able], priced_each(needs), strict=True))
        return [self._card(one, prices.get(one.code)) for one in wishes]

    def _card(self, wish: UsualWish, price: PricedNeeds | None) -> WishCard:
        if wish.moved is None:
            return WishCard(wish)
        stands, shape = self._after_wish(wish)
        sheet = stock_sheet(shape, stands, self._shelf)
        facts = ChangeFacts(draft_alteration(stands, shape, sheet), self.pace)
        if facts.is_as(self.change):
            return WishCard(wish._replace(moved=None, why=_("Nothing would change.")))
        picture = alteration_view(stands, shape, sheet, self.looking.corner)
        return WishCard(wish, facts, price, picture)

    @cached_property
    def pace(self) -> WorkPace:
        return our_pace()

    @cached_property
    def _shelf(self) -> Shelf:
        """The store is asked once for all."""
        return Shelf(QUICK)

    @cached_property
    def _old_sheet(self) -> SheetSize:
        return sheet_of_enclosure(self.enclosure)

    def _alteration(self, stands: WhatStands, shape: Shape) -> Alteration:
        return draft_alteration(stands, shape, stock_sheet(shape, stands, self._shelf))

    def _stands(self, moved: Moved | None = None) -> WhatStands:
        """What stands, for the drawing as it is or with its cells moved on from there."""
        if not self.is_kept:
            stands = WhatStands(self.enclosure.shape(), Laying(), self._old_sheet)
        else:
            assert self.design.current is not None, "every design that is kept has a revision"
            self.design.current.design = self.design  # at hand, so it is not asked for again
            stands = what_stands(self.enclosure.revision, self.design.current, self._old_sheet)
        if moved is None or stands.laying is None:
            return stands
        laying = stands.laying
        return stands._replace(
            laying=laying._replace(rows=laying.rows - moved.rows, cols=laying.cols - moved.cols)
        )

    def _after_wish(self, wish: UsualWish) -> tuple[WhatStands, Shape]:
        assert wish.moved is not None, "asked of wishes that can be"
        return self._stands(wish.moved), wish.moved.design
