"""First-use notes and the care sheet, printed with the enclosure.

Figures for washing are in degrees Celsius. Product labels and a vet come first.
"""

from builds.making.advice import Advice
from habitats.rotation.intervals import USUAL
from habitats.structure.pups import PUP_DAYS
from habitats.structure.structure import Structure
from habitats.wording import message

FOOD_IN_SIGHT = message("Behav Processes (2025), doi 10.1016/j.beproc.2025.105189")
THERMAL = message("HTM 01-04 (UK, linen in health care)")
RINGWORM_CANIS = message("J Feline Med Surg 18:457 (2016)")
RINGWORM_TRICHOPHYTON = message("J Fungi 8:546 (2022)")
RATED_LOAD = message("Regulation (EU) 1061/2010, Article 2(8)")

_FIRST_USE_ALWAYS = (
    Advice(
        "settle",
        message(
            "Set it up with hay, water and a hide before the animals come, and leave them in peace "
            "for the first hours."
        ),
    ),
    Advice(
        "watch",
        message(
            "Watch them for the first half hour, and look again the same evening: nobody stuck, "
            "nobody chased into a corner, nobody trying to climb out."
        ),
    ),
    Advice(
        "chewing",
        message(
            "Look for chewed sheet, tape and ties on the first days. Cover or replace what they "
            "chew."
        ),
    ),
    Advice(
        "fit_after_wash",
        message(
            "Wash liners once, then check their fit: trim what is too large, and replace what no "
            "longer reaches the tray's walls."
        ),
    ),
    Advice(
        "unwell",
        message("An animal that does not eat or hides all day needs a vet, not time to settle."),
    ),
)

_FIRST_USE_RAMP = (
    Advice(
        "food_in_sight",
        message(
            "Show them the ramp with food in sight: lay greens on it and at its top where they see "
            "them from the ground. In a study of ten guinea pigs they climbed up to 63 cm "
            "(25 in) with food in sight and never above 18 cm (7 in) without."
        ),
        FOOD_IN_SIGHT,
    ),
    Advice(
        "never_push",
        message(
            "Never push or carry an animal onto the ramp. Let it go at its own pace; some take "
            "days, some never climb."
        ),
    ),
    Advice(
        "both_ways",
        message(
            "See each animal go up and come down before you leave them alone with the ramp open; "
            "close the doorway until then."
        ),
    ),
    Advice(
        "frail",
        message(
            "Keep the doorway closed for very young, old, lame or pregnant animals, and ask a vet "
            "when unsure."
        ),
    ),
)

_FIRST_USE_PUPS = (
    Advice(
        "pup_set_daily",
        message(
            "While the pup set is on, look each day: every clip is closed, no gap has come at "
            "corners and doors, and no animal is between its two layers. All animals stay on the "
            "ground floor until it comes off."
        ),
    ),
    Advice(
        "pup_set_off",
        message(
            "Take the pup set off once the youngest is %(days)d days old. If one of them is small "
            "or weak, ask a vet first.",
            days=PUP_DAYS,
        ),
    ),
)

_CARE = (
    Advice(
        "daily",
        message(
            "Daily: take out wet hay and droppings, feel the liners, wash the water bottle or "
            "bowl, and look at each animal."
        ),
    ),
    Advice(
        "change",
        message("Change liners and towels when they feel damp or smell, %(usual)s.", usual=USUAL),
    ),
    Advice(
        "shake",
        message(
            "Brush and shake hair and hay off before washing: hair keeps dirt and germs in, and "
            "blocks machines."
        ),
    ),
    Advice(
        "wash_hot",
        message(
            "Wash as hot as the care label allows. For disinfection by heat the wash itself must "
            "hold at least 65 °C for 10 minutes or 71 °C for 3 minutes, plus time to mix; a 60 °C "
            "programme is not that."
        ),
        THERMAL,
    ),
    Advice(
        "no_softener",
        message(
            "Use detergent without perfume and no fabric softener: it stops cloth from taking up "
            "liquid."
        ),
    ),
    Advice(
        "load",
        message("Do not overfill the drum; its rating in kilograms is for dry cotton."),
        RATED_LOAD,
    ),
    Advice(
        "ringworm",
        message(
            "Where ringworm is suspected, keep those items apart and wash them twice, each time at "
            "60 °C or more for at least 14 minutes, hair removed, drum not overfilled. In a study "
            "22 of 34 towels were still positive after one wash."
        ),
        RINGWORM_CANIS,
    ),
    Advice(
        "ringworm_dryer",
        message(
            "A tumble dryer alone, dry heat at 60 °C or freezing does not release an item after "
            "ringworm."
        ),
        RINGWORM_TRICHOPHYTON,
    ),
    Advice("dry", message("Dry everything completely before it goes back or into the store.")),
    Advice(
        "tray",
        message(
            "Wipe trays with warm water at each change of liners. If you disinfect, follow the "
            "product's label for strength and time, rinse, and let it dry before animals return."
        ),
    ),
    Advice(
        "urine",
        message(
            "White scale is from urine: loosen it with diluted vinegar, animals out, and rinse."
        ),
    ),
    Advice(
        "monthly",
        message(
            "Monthly: go through the inspection list again; replace brittle ties, loose tape and "
            "chewed sheet."
        ),
    ),
    Advice(
        "between_groups",
        message(
            "Between two groups wash and disinfect everything. After illness ask a vet what has to "
            "be done before other animals move in."
        ),
    ),
)


def first_use_notes(structure: Structure) -> tuple[Advice, ...]:
    """What to do on the first days, pup set and ramp first where there are any."""
    ramp = _FIRST_USE_RAMP if structure.ramps else ()
    pups = _FIRST_USE_PUPS if structure.design.pup_set else ()
    return (_FIRST_USE_ALWAYS[0], *pups, *ramp, *_FIRST_USE_ALWAYS[1:])


def every_first_use_note() -> tuple[Advice, ...]:
    """What is said of the first days whatever stands."""
    return (*_FIRST_USE_ALWAYS, *_FIRST_USE_RAMP, *_FIRST_USE_PUPS)


def care_sheet() -> tuple[Advice, ...]:
    """How it is kept clean, day by day and between groups."""
    return _CARE
