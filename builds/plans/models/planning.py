"""A new build, with its steps worked out and saved."""

import uuid
from collections.abc import Sequence
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.builds import Build, BuildState, CannotBuild, refuse_while_at_work
from builds.plans.models.plan_cards import Cards
from habitats.common.codes import new_code
from habitats.common.idempotency import made_before
from habitats.designs.models.designs import DesignRevision
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.enclosures.models.first_built import is_not_built
from habitats.people.models.people import Person


def plan_build(
    revision: DesignRevision,
    name: str,
    *,
    by: Person,
    on: date,
    people: Sequence[Person] = (),
    standing: DesignRevision | None = None,
    cards: Cards | None = None,
    idempotency_key: uuid.UUID | None = None,
    **facts: object,
) -> Build:
    """A new build, with its steps worked out and kept. The same key gives the same build.

    ``standing``: what stands and is altered into the revision; None: built from nothing.
    ``cards``: those of a repair of the revision as it stands; None: worked out.
    ``facts``: ``home``, ``adopter``, ``enclosure``, ``planned_on``, ``notes``.
    ``enclosure`` without either of the two is a planned one, which this build makes.
    Raises ``CannotBuild`` for a design that cannot be made, for an enclosure that stands already,
    and for one that another build makes.
    """
    idempotency_key = idempotency_key or uuid.uuid4()
    with transaction.atomic():
        known = made_before(Build.objects, idempotency_key)
        if known:
            return known
        planned = facts.get("enclosure") if standing is None and cards is None else None
        if isinstance(planned, Enclosure):
            refuse_to_build(planned)
        build = Build.objects.create(
            name=name, code=new_code(), idempotency_key=idempotency_key, made_by=by, **facts
        )
        build.people.set(people)
        BuildPlan.objects.work_out(
            build,
            revision,
            standing=standing,
            cards=cards,
            by=by,
            idempotency_key=uuid.uuid5(idempotency_key, "plan"),
        )
        build.events.create(
            state=BuildState.PLANNED,
            on=on,
            made_by=by,
            idempotency_key=uuid.uuid5(idempotency_key, "planned"),
        )
    return build


def refuse_to_build(enclosure: Enclosure) -> None:
    """Raise ``CannotBuild`` for one that is not planned, or that another build makes already."""
    Enclosure.objects.select_for_update(of=("self",), no_key=True).get(pk=enclosure.pk)
    if not is_not_built(enclosure):
        raise CannotBuild(
            _("%(enclosure)s is %(state)s, so it is not built new. Alter it instead.")
            % {
                "enclosure": enclosure,
                "state": EnclosureState(enclosure.state_now()).in_a_sentence,
            }
        )
    refuse_while_at_work(enclosure)
