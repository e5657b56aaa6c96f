"""Reading a case: one enclosure and the animals in it, from JSON, or every fault with its place.

Needed are `species`, `ground_cm2` and `animals`. Every other key may be left out, or be null,
which means "not known"; upper levels that are left out count for nothing.
"""

from dataclasses import dataclass
from typing import Any

from habitats.measures import MM2_PER_CM2
from habitats.structure.faults import FileFault
from habitats.structure.fields import Fields, Findings, shown
from habitats.welfare.values import MOST_ANIMALS, Resident, Room, Sex, Species

# Wide enough for any animal that lives, narrow enough that a slip of the pen is noticed.
WEIGHT_G = {Species.GUINEA_PIG: (20, 4000), Species.RABBIT: (20, 20_000)}
AGE_DAYS = (0, 7300)
GROUND_CM2 = (1, 10_000_000)
AREA_CM2 = (0, 10_000_000)
LENGTH_MM = (1, 100_000)
SHARE = (0, 1)


class BadCase(ValueError):
    """The case cannot be judged as given; `faults` names every reason found."""

    def __init__(self, faults: list[FileFault]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults))
        self.faults = tuple(faults)


@dataclass(frozen=True, slots=True)
class Case:
    species: Species
    room: Room
    residents: tuple[Resident, ...]


def case_from(document: object) -> Case:
    """The case in a parsed document. Raises BadCase."""
    if not isinstance(document, dict):
        raise BadCase([FileFault("", f"A case is one JSON object, not {shown(document)}.")])
    findings = Findings()
    case = _read(document, findings)
    if findings.faults:
        raise BadCase(findings.faults)
    return case


def _read(document: dict[str, Any], findings: Findings) -> Case:
    fields = Fields(document, "", findings)
    fields.known(
        "species",
        "ground_cm2",
        "upper_cm2",
        "height_mm",
        "tall_share",
        "longest_side_mm",
        "shortest_side_mm",
        "raised_cm2",
        "animals",
    )
    # Without a species weights are held to the widest bounds, so that one fault is one fault.
    species = Species(fields.one_of("species", list(Species)) or Species.RABBIT)
    room = _read_room(fields)
    animals = fields.children("animals", MOST_ANIMALS, least=1)
    return Case(species, room, tuple(_read_resident(one, species) for one in animals))


def _read_room(fields: Fields) -> Room:
    room = Room(
        ground_mm2=_mm2(fields.number("ground_cm2", GROUND_CM2)),
        upper_mm2=_mm2(fields.maybe_number("upper_cm2", AREA_CM2) or 0),
        height_mm=fields.maybe_whole("height_mm", LENGTH_MM),
        tall_share=fields.maybe_number("tall_share", SHARE),
        longest_side_mm=fields.maybe_whole("longest_side_mm", LENGTH_MM),
        shortest_side_mm=fields.maybe_whole("shortest_side_mm", LENGTH_MM),
        raised_mm2=_maybe_mm2(fields.maybe_number("raised_cm2", AREA_CM2)),
    )
    if fields.is_sound("shortest_side_mm") and fields.is_sound("longest_side_mm"):
        _check_sides(fields, room)
    return room


def _check_sides(fields: Fields, room: Room) -> None:
    shortest, longest = room.shortest_side_mm, room.longest_side_mm
    if shortest is not None and longest is not None and shortest > longest:
        fields.fault(
            "shortest_side_mm",
            f"{shortest} given, which is longer than longest_side_mm. Give at most {longest}.",
        )


def _read_resident(fields: Fields, species: Species) -> Resident:
    fields.known("weight_g", "age_days", "sex", "castrated", "with_litter")
    sex = fields.maybe_one_of("sex", list(Sex))
    resident = Resident(
        weight_g=fields.maybe_whole("weight_g", WEIGHT_G[species]),
        age_days=fields.maybe_whole("age_days", AGE_DAYS),
        sex=Sex(sex) if sex else None,
        castrated=fields.yes_no("castrated", default=False),
        with_litter=fields.yes_no("with_litter", default=False),
    )
    if resident.with_litter and resident.sex is Sex.MALE:
        fields.fault("with_litter", 'true given for a male. Give false, or "F" as its sex.')
    return resident


def _mm2(cm2: float) -> int:
    return round(cm2 * MM2_PER_CM2)


def _maybe_mm2(cm2: float | None) -> int | None:
    return None if cm2 is None else _mm2(cm2)
