"""How pulls end: closed with what they got, cancelled, or released since their build is stopped."""

import uuid
from collections.abc import Sequence

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from builds.plans.models.builds import Build, BuildState
from builds.pulls.models.accounts import (
    PullAccount,
    pull_accounts,
)
from builds.pulls.models.pulling import end_pull, lock_all
from builds.pulls.models.pulls import CannotPull, Pull, PullEnd, ShortPick
from builds.pulls.models.refusals import (
    has_ended,
    state_now,
)
from builds.store.models import movements
from builds.store.models.items import Item
from habitats.people.models.people import Person
from habitats.wording import message

How, Short = PullEnd.How, ShortPick.Why


@transaction.atomic
def close(pulls: Sequence[Pull], *, by: Person, idempotency_key: uuid.UUID) -> list[Pull]:
    """The builders have what they get: what is left was not there. Says that builds are pulled.

    Of several pulls those stay open for which nothing was taken yet. Gives those that were closed.
    Sheets that no job has cut yet stay reserved until one has.
    """
    lock_all(pulls)
    open_ones = [pull for pull in pulls if not has_ended(pull)]
    served = [one for one in pull_accounts(open_ones).values() if _is_served(one)]
    if open_ones and not served:
        raise CannotPull(_("Nothing was taken yet, so you cannot close the pull. Cancel it."))
    for one in served:
        _close(one, by, uuid.uuid5(idempotency_key, str(one.pull.pk)))
    return [one.pull for one in served]


@transaction.atomic
def give_up(pulls: Sequence[Pull], *, by: Person, idempotency_key: uuid.UUID) -> None:
    """Nothing more is taken, and nothing more is reserved; what was taken stays with the build."""
    lock_all(pulls)
    for pull in pulls:
        if not has_ended(pull):
            end_pull(pull, How.GIVEN_UP, by, uuid.uuid5(idempotency_key, str(pull.pk)))


def release_reservations(build: Build, *, by: Person, idempotency_key: uuid.UUID) -> None:
    """A build is stopped: nothing is reserved for it any more."""
    give_up(list(build.pulls.open()), by=by, idempotency_key=idempotency_key)
    note = message("the build is stopped")
    movements.release_all(by=by, idempotency_key=idempotency_key, note=note, build=build)


def release_when_stopped(
    *, build: Build, state: str, by: Person, idempotency_key: uuid.UUID, **_of_the_signal: object
) -> None:
    """Receives ``build_state_set``."""
    if state == BuildState.STOPPED:
        release_reservations(build, by=by, idempotency_key=uuid.uuid5(idempotency_key, "let go"))


def _close(account: PullAccount, by: Person, idempotency_key: uuid.UUID) -> None:
    pull = account.pull
    for item, count in account.left.items():
        if item.kind != Item.Kind.SHEET:
            pull.shorts.create(
                item=item,
                count=count,
                why=Short.MISSING,
                made_by=by,
                idempotency_key=uuid.uuid5(idempotency_key, f"missing {item.pk}"),
            )
    is_short = pull.shorts.filter(why=Short.MISSING).exists()
    end_pull(pull, How.SHORT if is_short else How.COMPLETE, by, idempotency_key)
    if state_now(pull.build) == BuildState.PLANNED and pull.plan_id:
        pull.build.set_state(
            BuildState.PULLED,
            timezone.localdate(),
            by=by,
            idempotency_key=uuid.uuid5(idempotency_key, "pulled"),
        )


def _is_served(account: PullAccount) -> bool:
    """Whether anything was taken for it, or said to be served or spared, or is not counted."""
    said = any(one.why != Short.MISSING for one in account.shorts)
    only_sheets = all(item.kind == Item.Kind.SHEET for item in account.asked)
    return bool(+account.issued) or said or only_sheets
