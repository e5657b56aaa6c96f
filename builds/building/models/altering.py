"""Planning the alteration of an enclosure: its parts, and the build that makes it."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from builds.common.pace import our_pace
from builds.common.reckonings import alteration_of, stock_sheet_for, what_stands
from builds.making.altering.alteration import Alteration
from builds.making.altering.order import Order, order_of_alteration
from builds.making.pace import WorkPace
from builds.plans.models.build_plans import sheet_of_enclosure
from builds.plans.models.builds import LONGEST_NAME, Build, CannotBuild, refuse_while_at_work
from builds.plans.models.planning import plan_build
from habitats.common.idempotency import made_before
from habitats.designs.models.designs import Design, DesignRevision
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.people.models.people import Person
from habitats.structure.faults import BadDesign

MOST_OF_A_NAME = 60  # leaves room for what is said of it


@dataclass(frozen=True, slots=True)
class Outline:
    """An alteration as it is judged before it is planned."""

    alteration: Alteration
    order: Order
    pace: WorkPace

    @property
    def minutes(self) -> int:
        """All steps together, as the build's page and its packet tell it afterwards."""
        return sum(step.minutes for step in self.pace.steps(self.order.steps))


def outline(enclosure: Enclosure, design: Design) -> Outline:
    """What it takes to alter the enclosure into the design. Raises ``CannotBuild`` in words."""
    assert design.current is not None, "every design that is kept has a revision"
    sheet = sheet_of_enclosure(enclosure)
    stands, shape = what_stands(enclosure.revision, design.current, sheet), design.shape()
    try:
        alteration = alteration_of(stands, shape, stock_sheet_for(shape, stands))
    except BadDesign as bad:
        raise CannotBuild(" ".join(fault.sentence for fault in bad.faults)) from bad
    return Outline(alteration, order_of_alteration(alteration), our_pace())


def plan_alteration(
    enclosure: Enclosure,
    design: Design,
    *,
    by: Person,
    on: date,
    planned_on: date | None = None,
    people: Sequence[Person] = (),
    idempotency_key: uuid.UUID | None = None,
) -> Build:
    """A build that alters the enclosure. The same key again gives the same build.

    Raises ``CannotBuild`` for two that do not go together, for an enclosure that is retired, for
    one that stands so already, and while another build is altering it.
    """
    idempotency_key = idempotency_key or uuid.uuid4()
    with transaction.atomic():
        Enclosure.objects.select_for_update(of=("self",), no_key=True).get(pk=enclosure.pk)
        known = made_before(Build.objects, idempotency_key)
        if known:
            return known
        refuse_to_alter(enclosure)
        refuse_while_at_work(enclosure)
        found = outline(enclosure, design)
        if not found.order.steps:
            raise CannotBuild(
                _("%(enclosure)s already matches this design, so there is nothing to alter.")
                % {"enclosure": enclosure}
            )
        standing = enclosure.standings.open().select_related("home").first()
        return plan_build(
            _as_it_will_stand(design, found.alteration, by, idempotency_key),
            _name(enclosure, design),
            standing=enclosure.revision,
            by=by,
            on=on,
            people=people,
            idempotency_key=idempotency_key,
            enclosure=enclosure,
            home=standing.home if standing else None,
            planned_on=planned_on,
        )


def _name(enclosure: Enclosure, design: Design) -> str:
    """Its own drawing has the name of the enclosure."""
    if design.enclosure_id is not None:
        return _("%(enclosure)s: alteration") % {"enclosure": enclosure}
    return f"{enclosure}: {design.name}"[:LONGEST_NAME]


def refuse_to_alter(enclosure: Enclosure) -> None:
    """Raise ``CannotBuild`` for what does not stand."""
    state = enclosure.state_now()
    if state == EnclosureState.RETIRED:
        raise CannotBuild(
            _("%(enclosure)s is retired, so it cannot be altered. Plan a new build instead.")
            % {"enclosure": enclosure}
        )
    if state == EnclosureState.PLANNED:
        raise CannotBuild(
            _("%(enclosure)s is only planned, so it cannot be altered. Plan a new build instead.")
            % {"enclosure": enclosure}
        )


def _as_it_will_stand(
    design: Design, alteration: Alteration, by: Person, idempotency_key: uuid.UUID
) -> DesignRevision:
    """The design's own revision; where it is laid mirrored, a drawing of that, kept beside it."""
    assert design.current is not None, "every design that is kept has a revision"
    if not alteration.laying.mirrored:
        return design.current
    name = _("%(name)s, the other way round") % {"name": design.name[:MOST_OF_A_NAME]}
    shape = replace(alteration.target.design, name=name)
    drawn = Design.objects.draw(
        shape, by=by, idempotency_key=uuid.uuid5(idempotency_key, "mirrored")
    )
    assert drawn.current is not None
    return drawn.current
