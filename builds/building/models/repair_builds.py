"""Repairs of what stands: builds of their own that mend faults, which are mended with them."""

import uuid
from collections.abc import Sequence
from datetime import date
from functools import partial

from django.db import models, transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.drawing.corner import corner_picture
from builds.making.inspection import inspection_list
from builds.making.repairing import Trouble, repair_parts, repair_steps
from builds.plans.models.builds import LONGEST_NAME, Build, CannotBuild, refuse_while_at_work
from builds.plans.models.plan_cards import (
    UNITS,
    Cards,
    StoredStepCard,
    cards_of_steps,
    kept_parts,
)
from builds.plans.models.planning import plan_build
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import made_before
from habitats.designs.models.structures import structure_of
from habitats.drawing.fault_places import Marked, floor_drawing
from habitats.enclosures.models.changes import change_state
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.faults.models.faults import Fault
from habitats.people.models.people import Person
from habitats.stored_pictures import stored_picture
from habitats.upkeep.kinds import FaultKind
from habitats.upkeep.places import level_of
from habitats.wording import message

MOST_FAULTS = 40  # at once: more is a new build


class FaultWork(AppendOnly):
    """The build mends the fault; one that was stopped did not, and another may."""

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="fault_works")
    fault = models.ForeignKey(Fault, on_delete=models.PROTECT, related_name="works")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["build", "fault"], name="a_build_mends_a_fault_once"),
        ]

    def __str__(self) -> str:
        return f"build {self.build_id} mends fault {self.fault_id}"


def plan_repair(
    enclosure: Enclosure,
    faults: Sequence[Fault],
    *,
    by: Person,
    on: date,
    people: Sequence[Person] = (),
    planned_on: date | None = None,
    idempotency_key: uuid.UUID | None = None,
) -> Build:
    """A build that mends these faults. The same key again gives the same build.

    Raises ``CannotBuild`` where nothing stands, while another build is at work on the enclosure,
    and for faults that are none, mended already or of another enclosure.
    """
    idempotency_key = idempotency_key or uuid.uuid4()
    with transaction.atomic():
        Enclosure.objects.select_for_update(of=("self",), no_key=True).get(pk=enclosure.pk)
        known = made_before(Build.objects, idempotency_key)
        if known:
            return known
        refuse_repair(enclosure)
        chosen = _chosen(enclosure, faults)
        standing = enclosure.standings.open().select_related("home").first()
        build = plan_build(
            enclosure.revision,
            str(enclosure)[:LONGEST_NAME],
            cards=repair_cards(enclosure, chosen),
            by=by,
            on=on,
            people=people,
            idempotency_key=idempotency_key,
            enclosure=enclosure,
            home=standing.home if standing else None,
            planned_on=planned_on,
            is_named_as_repair=True,
        )
        for fault in chosen:
            build.fault_works.create(fault=fault, made_by=by)
        return build


def refuse_repair(enclosure: Enclosure) -> None:
    """Raise ``CannotBuild`` for an enclosure of which no repair can be planned now."""
    state = enclosure.state_now()
    if state in (EnclosureState.RETIRED, EnclosureState.PLANNED, EnclosureState.BUILDING):
        raise CannotBuild(
            _("%(enclosure)s is %(state)s, so it cannot be mended.")
            % {"enclosure": enclosure, "state": EnclosureState(state).in_a_sentence}
        )
    if not enclosure.faults.open().exists():
        raise CannotBuild(
            _(
                "%(enclosure)s has no open fault, so there is nothing to mend. "
                "If something is wrong with it, report the fault first."
            )
            % {"enclosure": enclosure}
        )
    refuse_while_at_work(enclosure)


def repair_cards(enclosure: Enclosure, faults: Sequence[Fault]) -> Cards:
    """Steps with their pictures, parts and points. Raises ``CannotBuild`` for what cannot stand."""
    structure = structure_of(enclosure.shape())
    if structure is None:
        raise CannotBuild(
            _("%(enclosure)s cannot be drawn as it is: finish its design first.")
            % {"enclosure": enclosure}
        )
    troubles = [_trouble(fault) for fault in faults]
    points = inspection_list(structure)
    cards = cards_of_steps(dict.fromkeys(UNITS, repair_steps(troubles, len(points))))
    whole = stored_picture(lambda: corner_picture(structure, title=f"{enclosure}"))
    marked = [stored_picture(partial(_marked, one)) for one in faults]
    places = [one if one != [""] else whole for one in marked]
    before = [whole] * (len(cards) - len(places) - 1)
    pictures = [*before, *places, whole]
    return Cards(
        steps=tuple(
            StoredStepCard(card, dict.fromkeys(UNITS, picture))
            for card, picture in zip(cards, pictures, strict=True)
        ),
        parts=kept_parts(repair_parts(troubles, structure.design.panel.size_mm)),
        points=[point._asdict() for point in points],
    )


def mend_with(build: Build, on: date, *, by: Person, idempotency_key: uuid.UUID) -> None:
    """What the build mends is mended, and the enclosure no longer needs repair.

    It still does while another unsafe fault is open. Raises ``Elsewhere`` for a day that is too
    early.
    """
    enclosure = build.enclosure
    assert enclosure is not None, "a repair is of an enclosure"
    mended = message("Mended by the repair %(code)s.", code=build.code)
    for work in build.fault_works.select_related("fault"):
        work.fault.mend(on, by=by, note=mended)
    if (
        enclosure.state_now() != EnclosureState.NEEDS_REPAIR
        or enclosure.faults.open().unsafe().exists()
    ):
        return
    lived_in = enclosure.stays.open().exists()
    change_state(
        enclosure,
        EnclosureState.IN_USE if lived_in else EnclosureState.STANDING,
        on=on,
        by=by,
        idempotency_key=idempotency_key,
    )


def _chosen(enclosure: Enclosure, faults: Sequence[Fault]) -> list[Fault]:
    if not faults:
        raise CannotBuild(_("No fault is ticked. Tick each fault that this repair mends."))
    if len(faults) > MOST_FAULTS:
        raise CannotBuild(
            ngettext(
                "%(number)d fault ticked; a repair mends up to %(most)d.",
                "%(number)d faults ticked; a repair mends up to %(most)d.",
                len(faults),
            )
            % {"number": len(faults), "most": MOST_FAULTS}
        )
    open_now = enclosure.faults.open().filter(pk__in=[one.pk for one in faults])
    chosen = list(open_now.select_related("revision").urgent_first())
    if len(chosen) != len({one.pk for one in faults}):
        raise CannotBuild(
            _("Some of these faults of %(enclosure)s are no longer open. Reload the page.")
            % {"enclosure": enclosure}
        )
    return chosen


def _trouble(fault: Fault) -> Trouble:
    return Trouble(str(fault.pk), FaultKind(fault.kind), fault.where_words(), fault.note)


def _marked(fault: Fault) -> str:
    """The floor with the fault's mark; empty where its place was not said."""
    structure, where = fault.structure(), fault.where
    if structure is None or where is None:
        return ""
    words = f"{fault}: {fault.where_words()}"
    level, marks = level_of(structure, where.z), [Marked(where.x_mm, where.y_mm)]
    return floor_drawing(structure, level, marks, title=words, description=f"{words}.").svg
