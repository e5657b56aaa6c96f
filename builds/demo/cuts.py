"""The demo's batch that was cut: the sheets for the Saturday crew."""

import uuid

from builds.batches import tasks
from builds.batches.forms import offered
from builds.batches.models.batches import Batch
from builds.demo.pulls import AHEAD
from builds.plans.models.builds import Build
from builds.sheets import SheetOffer, offer_document
from builds.store.models.places import Place
from builds.store.models.sheets import SheetKind
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person

NAME = "Sheets for the Saturday crew"
SECONDS = 0.1  # the plan of one build needs no long search
KEPT_AT = "DOOR"


def fill_cuts(by: Person, names: uuid.UUID) -> None:
    """Bring it in if it is missing; ``names`` makes the UUIDs by which it is found again."""
    idempotency_key = uuid.uuid5(names, NAME)
    build = Build.objects.live().filter(name=AHEAD).first()
    if build is None or made_before(Batch.objects, idempotency_key):
        return
    batch = Batch.objects.begin(NAME, by=by, idempotency_key=idempotency_key)
    batch.add_build(build, idempotency_key=uuid.uuid5(idempotency_key, "line"))
    kinds = SheetKind.objects.live().with_free([build.pk]).by_size()
    offer = offer_document(SheetOffer(offered(kinds, False, True, batch), seconds=SECONDS))
    job = batch.job(offer, by=by, idempotency_key=uuid.uuid5(idempotency_key, "job"))
    run = tasks.begin(job, SECONDS)
    run.refresh_from_db()
    kept = Place.objects.get(code=KEPT_AT)
    places: dict[int, Place | None] = dict.fromkeys(range(len(run.found().offcuts_to_keep)), kept)
    job.mark_cut(run, places, by=by, idempotency_key=uuid.uuid5(idempotency_key, "cut"))
