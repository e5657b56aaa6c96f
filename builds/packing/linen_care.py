"""How an adopter looks after the kit's linens, with the source of every figure.

Advice for people who keep animals, not veterinary advice: labels and a vet come first.
"""

from collections.abc import Sequence
from math import ceil

from builds.making.advice import Advice
from builds.making.care import RINGWORM_TRICHOPHYTON
from builds.packing.lines import Cloth
from habitats.decimals import NO_BREAK
from habitats.rotation.cloth import EXPECTED
from habitats.rotation.goods import FLEECE, TERRY, Goods
from habitats.rotation.infection import RINGWORM_RULE, UK_HEAT_RULE, WASHING_ADVICE
from habitats.rotation.intervals import USUAL
from habitats.source import Known
from habitats.wording import message

_VET_FIRST = Advice(
    "vet_first",
    message(
        "Labels sewn into cloth come first, and so does a vet. Nothing on this page is veterinary "
        "advice."
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
        "them, lay them in and trim what is too large. Fleece is not hemmed; of terry leave room "
        "for the hem."
    ),
)
_EVERYDAY = Advice(
    "everyday",
    message(
        "Everyday: 40 °C or 60 °C, as hot as the label allows, with a rinse more if your machine "
        "has one. This cleans; it does not disinfect."
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
_DRY = Advice("dry", message("Dry everything through before it goes back: damp cloth grows mould."))
_HEAT = Advice(
    "heat",
    message(
        "If a vet asks for disinfection by heat: %(washes)s, and the minutes that the water needs "
        "to mix on top. What the programme is called does not count; what it holds does.",
        washes=UK_HEAT_RULE.words,
    ),
    str(UK_HEAT_RULE.source),
)
_SUSPECTED = Advice(
    "suspected",
    message(
        "Where ringworm is suspected, call a vet first. Put what the animal lay on into a bag of "
        "its own, wear gloves, and wash it apart from all else: %(washes)s. It is catching for "
        "people too.",
        washes=RINGWORM_RULE.words,
    ),
    str(RINGWORM_RULE.source),
)
_SUSPECTED_HOW = Advice(
    "suspected_how",
    WASHING_ADVICE,
    f"J Feline Med Surg 18:457 (2016) for hair and drum; {RINGWORM_TRICHOPHYTON} for dry heat",
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
    weak = f"Cotton terry: {_range(TERRY)}. Polyester fleece: {_range(FLEECE)}."
    return (
        Advice(
            "shrinkage",
            f"They shrink in the first wash. {weak} The cut sizes above reckon with "
            f"{_percent(EXPECTED.length)}.",
            Known.MEMORY.words,
        ),
    )


def _shrinkage(cloth: Cloth) -> Advice:
    width, length = cloth.shrinkage.width, cloth.shrinkage.length
    return Advice(
        "shrinkage",
        f"{cloth.name.capitalize()} shrinks by about {_percent(width)} in width and "
        f"{_percent(length)} in length in the first wash.",
        cloth.shrinkage.basis,
    )


def _range(goods: Goods) -> str:
    """How much such goods are said to shrink."""
    least, most = goods.shrinks
    return f"{least} to {most}{NO_BREAK}%"


def _percent(tenths: int) -> str:
    return f"{ceil(tenths / 10)}{NO_BREAK}%"
