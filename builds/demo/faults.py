"""The demo's upkeep: enclosures that were checked, and faults, mended and not. All invented."""

from datetime import date
from random import Random
from typing import NamedTuple

from django.db import transaction

from builds.demo import story
from builds.demo.rows import Network
from habitats.enclosures.models.enclosures import Enclosure
from habitats.faults.models.faults import STANDS, Fault, FaultMended
from habitats.faults.models.safety_checks import Answer, SafetyCheck
from habitats.people.models.people import Person
from habitats.readings.models.readings import Reading
from habitats.structure.structure import Structure
from habitats.upkeep.kinds import FaultKind
from habitats.upkeep.places import parts_of
from habitats.upkeep.points import points_for
from habitats.upkeep.urgency import FaultUrgency

SEED = 31
LONGEST_AGO = 34  # days; some of a network are due again


class ToldFault(NamedTuple):
    """Seen so many days ago. ``mended`` empty: it still has to be."""

    enclosure: str
    kind: FaultKind
    urgency: FaultUrgency
    ago: int
    note: str
    mended: str = ""


FAULTS = (
    ToldFault(
        "Porch",
        FaultKind.WIRE,
        FaultUrgency.UNSAFE,
        1,
        "A cut end by the doorway scratches the glove.",
    ),
    ToldFault(
        "Under the shelf",
        FaultKind.GRIP,
        FaultUrgency.SOON,
        4,
        "The towel slips when they run down.",
    ),
    ToldFault(
        "Alcove",
        FaultKind.TAPE,
        FaultUrgency.CONVENIENT,
        6,
        "The tape lifts at the join of the tray.",
    ),
    ToldFault(
        "Window seat",
        FaultKind.TIE,
        FaultUrgency.SOON,
        3,
        "One tie is gone.",
        "New tie, tail cut flush.",
    ),
    ToldFault(
        "Attic",
        FaultKind.CONNECTOR,
        FaultUrgency.UNSAFE,
        16,
        "A corner came apart.",
        "A new one holds.",
    ),
)


@transaction.atomic
def fill_upkeep(by: Person, foster: Person, builder: Person, today: date) -> None:
    """Check what stands, and find what the story tells; nothing where any was checked."""
    if SafetyCheck.objects.exists():
        return
    net = Network(by, today, Random(SEED))
    checked = {one.label: one.checked for home in story.HOMES for one in home.enclosures}
    told = {one.enclosure: one for one in FAULTS}
    for enclosure in Enclosure.objects.live().with_shape().order_by("pk"):
        structure = enclosure.structure()
        if structure is None or vars(enclosure)["state"] not in STANDS:
            continue
        ago = checked.get(enclosure.label) or net.random.randint(1, LONGEST_AGO)
        answers = [Answer(point, None).as_stored() for point in points_for(structure)]
        net.happened(SafetyCheck, enclosure=enclosure, on=net.day(ago), answers=answers)
        if enclosure.label in told:
            _fault(net, enclosure, structure, told[enclosure.label], foster, builder)
    net.write()
    Reading.objects.forget()


def _fault(
    net: Network,
    enclosure: Enclosure,
    structure: Structure,
    told: ToldFault,
    foster: Person,
    builder: Person,
) -> None:
    fault = net.add(
        Fault,
        idempotency_key=net.idempotency_key(),
        made_by=foster,
        enclosure=enclosure,
        revision_id=enclosure.revision_id,
        kind=told.kind,
        urgency=told.urgency,
        note=told.note,
        on=net.day(told.ago),
        **net.random.choice(parts_of(structure)).where._asdict(),
    )
    if told.mended:
        net.add(
            FaultMended,
            idempotency_key=net.idempotency_key(),
            made_by=builder,
            fault=fault,
            on=net.day(told.ago - 1),
            note=told.mended,
        )
