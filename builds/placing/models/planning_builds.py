"""A proposed build, planned for the home, with its material reserved."""

import uuid
from datetime import date

from django.db import transaction

from builds.placing.models.builds_today import DesignOffer
from builds.plans.models.builds import LONGEST_NAME, Build
from builds.plans.models.planning import plan_build
from builds.pulls.models.pulling import begin
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person


def plan_proposed(
    offer: DesignOffer, home: Home, notes: str, *, by: Person, on: date, idempotency_key: uuid.UUID
) -> Build:
    """The same key gives the same build. What is free of its material is reserved.

    Raises ``CannotBuild``.
    """
    with transaction.atomic():
        build = plan_build(
            offer.revision,
            offer.design.name[:LONGEST_NAME],
            by=by,
            on=on,
            home=home,
            notes=notes,
            idempotency_key=idempotency_key,
        )
        begin(build, by=by, idempotency_key=uuid.uuid5(idempotency_key, "pull"))
    return build
