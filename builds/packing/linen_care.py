"""How an adopter looks after the kit's linens, with the source of every figure.

Advice for people who keep animals, not veterinary advice: labels and a vet come first.
"""

from collections.abc import Sequence
from math import ceil

from builds.making.advice import Advice
from builds.packing.lines import Cloth
from habitats.decimals import NO_BREAK
from habitats.rotation.cloth import EXPECTED
from habitats.rotation.goods import FLEECE, TERRY, Goods
from habitats.rotation.infection import RINGWORM_RULE, UK_HEAT_RULE, WASHING_ADVICE
from habitats.rotation.intervals import USUAL
from habitats.rotation.sources import WASHING_SOURCE
from habitats.source import Known
from habitats.wording import message

_VET_FIRST = Advice(
    "vet_first",
    message(
        "The cloth's care label and your vet come first. Nothing on this page is veterinary advice."
    ),
)
_CHANGE = Advice(
    "change",
    message("Change liners and towels when they feel damp or smell, %(usual)s.", usual=USUAL),
)
_SHAKE = Advice(
    "shake",
    message(
        "Brush and shake off hair and hay outdoors before each wash: hair keeps dirt in and blocks "
        "machines."
    ),
)
_FIRST_WASH = Advice(
    "first_wash",
    message(
        "New linens are cut larger than they have to be. Wash them once before they are used, dry "
        "them, lay them in and trim what is too large. Fleece needs no hem; on terry, leave room "
        "for one."
    ),
)
_EVERYDAY = Advice(
    "everyday",
    message(
        "Everyday: 40 °C or 60 °C, as hot as the label allows, with an extra rinse if your "
        "machine has one. This cleans; it does not disinfect."
    ),
)
_DETERGENT = Advice(
    "detergent",
    message(
        "A little detergent without perfume. No fabric softener, in the machine or as dryer "
        "sheets: it stops cloth from taking up liquid."
    ),
)
_NO_BLEACH = Advice(
    "no_bleach",
    message(
        "No chlorine bleach: on urine it gives off a gas that harms lungs, and animals lie on what "
        "stays in the cloth."
    ),
    Known.MEMORY.words,
)
_DRY = Advice(
    "dry", message("Dry everything completely before it goes back: damp cloth grows mould.")
)
_HEAT = Advice(
    "heat",
    message(
        "If a vet asks for disinfection by heat: %(washes)s, plus the minutes that the water needs "
        "to mix. The name of a programme does not count: the heat and the time that it holds do.",
        washes=UK_HEAT_RULE.words,
    ),
    UK_HEAT_RULE.source.words,
)
_SUSPECTED = Advice(
    "suspected",
    message(
        "Where ringworm is suspected, call a vet first. Put what the animal lay on into a bag of "
        "its own, wear gloves, and wash it apart from everything else: %(washes)s. It is catching "
        "for people too.",
        washes=RINGWORM_RULE.words,
    ),
    RINGWORM_RULE.source.words,
)
_SUSPECTED_HOW = Advice(
    "suspected_how",
    WASHING_ADVICE,
    WASHING_SOURCE.text,
)


def linen_care(cloths: Sequence[Cloth], *, has_linens: bool = True) -> tuple[Advice, ...]:
    """What to do with the linens of a kit, the first wash first.

    ``cloths``: the goods they are made of, as far as somebody said; nothing for a kit without any.
    """
    if not has_linens:
        return ()
    everyday = (_FIRST_WASH, *_shrinkages(cloths), _CHANGE, _SHAKE, _EVERYDAY, _DETERGENT)
    return (*everyday, _NO_BLEACH, _DRY, _SUSPECTED, _SUSPECTED_HOW, _HEAT, _VET_FIRST)


def _shrinkages(cloths: Sequence[Cloth]) -> tuple[Advice, ...]:
    if cloths:
        return tuple(_shrinkage(cloth) for cloth in cloths)
    return (
        Advice(
            "shrinkage",
            message(
                "They shrink in the first wash. Cotton terry: %(terry)s. Polyester fleece: "
                "%(fleece)s. The cut sizes above allow for %(allowed)s.",
                terry=_range(TERRY),
                fleece=_range(FLEECE),
                allowed=_percent(EXPECTED.length),
            ),
            Known.MEMORY.words,
        ),
    )


def _shrinkage(cloth: Cloth) -> Advice:
    return Advice(
        "shrinkage",
        message(
            "%(cloth)s shrinks by about %(width)s in width and %(length)s in length in the first "
            "wash.",
            cloth=f"{cloth.name[:1].upper()}{cloth.name[1:]}",
            width=_percent(cloth.shrinkage.width),
            length=_percent(cloth.shrinkage.length),
        ),
        cloth.shrinkage.basis,
    )


def _range(goods: Goods) -> str:
    """How much such goods are said to shrink."""
    least, most = goods.shrinks
    return message("%(least)s to %(most)s", least=least, most=f"{most}{NO_BREAK}%")


def _percent(tenths: int) -> str:
    return f"{ceil(tenths / 10)}{NO_BREAK}%"
