"""The demo's upkeep: enclosures that were checked, and faults, mended and not. All invented."""

from datetime import date
from random import Random
from typing import NamedTuple

from django.db import transaction

from builds.demo.homes import Network
from habitats.enclosures.models.enclosures import Enclosure
from habitats.faults.models.faults import STANDS, Fault, FaultMended
from habitats.faults.models.safety_checks import Answer, SafetyCheck
from habitats.people.models.people import Person
from habitats.readings.models.readings import Reading
from habitats.structure.structure import Structure
from habitats.upkeep.kinds import FaultKind, can_be
from habitats.upkeep.places import parts_of
from habitats.upkeep.points import points_for
from habitats.upkeep.urgency import FaultUrgency

SEED = 31
EVERY = 6  # of so many enclosures one has had a fault
LONGEST_AGO = 34  # days; some are due again


class InventedFault(NamedTuple):
    """``mended`` empty: it still has to be."""

    kind: FaultKind
    urgency: FaultUrgency
    note: str
    mended: str = ""


FAULTS = (
    InventedFault(
        FaultKind.WIRE, FaultUrgency.UNSAFE, "A cut end by the doorway scratches the glove."
    ),
    InventedFault(
        FaultKind.TRAY, FaultUrgency.SOON, "Somebody is chewing at the north-east corner."
    ),
    InventedFault(
        FaultKind.TIE, FaultUrgency.SOON, "One tie is gone.", "Tied anew, tail cut flush."
    ),
    InventedFault(
        FaultKind.TAPE, FaultUrgency.CONVENIENT, "The tape lifts at the join of the tray."
    ),
    InventedFault(FaultKind.GRIP, FaultUrgency.SOON, "The towel slips when they run down."),
    InventedFault(
        FaultKind.CONNECTOR, FaultUrgency.UNSAFE, "A corner came apart.", "A new one holds."
    ),
)


@transaction.atomic
def fill_upkeep(by: Person, foster: Person, builder: Person, today: date) -> None:
    """Check most enclosures, and find something in some; nothing where any was checked."""
    if SafetyCheck.objects.exists():
        return
    network = Network(by, today, Random(SEED))
    live = Enclosure.objects.live().with_shape().order_by("pk")
    standing = [one for one in live if vars(one)["state"] in STANDS]
    for number, enclosure in enumerate(standing):
        structure = enclosure.structure()
        if structure is None:
            continue
        _looked_over(network, enclosure, structure)
        if number % EVERY == 1:
            invented = FAULTS[number // EVERY % len(FAULTS)]
            _fault(network, enclosure, structure, invented, foster, builder)
    network.write()
    Reading.objects.forget()


def _looked_over(net: Network, enclosure: Enclosure, structure: Structure) -> None:
    answers = [Answer(point, None).as_stored() for point in points_for(structure)]
    ago = net.random.randint(1, LONGEST_AGO)
    net.happened(SafetyCheck, enclosure=enclosure, on=net.day(ago), answers=answers)


def _fault(
    net: Network,
    enclosure: Enclosure,
    structure: Structure,
    invented: InventedFault,
    foster: Person,
    builder: Person,
) -> None:
    if not can_be(invented.kind, structure):
        invented = FAULTS[1]
    where = net.random.choice(parts_of(structure)).where
    ago = net.random.randint(1, 9)
    fault = net.add(
        Fault,
        idempotency_key=net.idempotency_key(),
        made_by=foster,
        enclosure=enclosure,
        revision_id=enclosure.revision_id,
        kind=invented.kind,
        urgency=invented.urgency,
        note=invented.note,
        on=net.day(ago),
        **where._asdict(),
    )
    if invented.mended:
        net.add(
            FaultMended,
            idempotency_key=net.idempotency_key(),
            made_by=builder,
            fault=fault,
            on=net.day(ago - 1),
            note=invented.mended,
        )
