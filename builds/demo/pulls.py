"""The demo's pulls: one complete but for what was not there, one begun and half taken."""

import uuid

from builds.plans.models.builds import Build
from builds.pulls.models.accounts import pull_accounts
from builds.pulls.models.ending import close
from builds.pulls.models.pulling import begin, report_short, take, take_as_listed
from builds.pulls.models.pulls import Pull, ShortPick
from builds.store.models.items import Item
from builds.store.models.reservations import reserved_by_place
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person

UNDER_WAY, AHEAD = "Long wall for the back room", "Bay window, Saturday crew"
FIRST_PLACE = "B1"


def fill_pulls(by: Person, names: uuid.UUID) -> None:
    """Bring in what is missing; ``names`` makes the UUIDs by which it is found again."""
    for name, tell in ((UNDER_WAY, _taken), (AHEAD, _half_taken)):
        idempotency_key = uuid.uuid5(names, f"pull {name}")
        build = Build.objects.live().filter(name=name).first()
        if build and not made_before(Pull.objects, idempotency_key):
            tell(begin(build, by=by, idempotency_key=idempotency_key), by, idempotency_key)


def _taken(pull: Pull, by: Person, idempotency_key: uuid.UUID) -> None:
    take_as_listed([pull], by=by, idempotency_key=uuid.uuid5(idempotency_key, "all"))
    close([pull], by=by, idempotency_key=uuid.uuid5(idempotency_key, "close"))


def _half_taken(pull: Pull, by: Person, idempotency_key: uuid.UUID) -> None:
    """The drawers are done; some of the tape was stuck together."""
    tapes = [item for item in pull_accounts([pull])[pull].left if item.kind == Item.Kind.TAPE]
    for tape in tapes:
        report_short(
            [pull],
            tape,
            1,
            ShortPick.Why.MISSING,
            note="stuck together",
            by=by,
            idempotency_key=uuid.uuid5(idempotency_key, "tape"),
        )
    reserved = reserved_by_place(build=pull.build)
    picks = {(item, place): count for item, place, count in reserved if place.code == FIRST_PLACE}
    if picks:
        take([pull], picks, by=by, idempotency_key=uuid.uuid5(idempotency_key, "drawers"))
