"""The figures of linens and their wash, each with its source.

Every value is taken from where it is computed with.
"""

from habitats.decimals import NO_BREAK, trimmed
from habitats.measures import METRIC, MM2_PER_CM2, area, length, with_unit
from habitats.rotation.buying import USUAL_CLOTH_MM
from habitats.rotation.cloth import ENOUGH_PIECES, EXPECTED
from habitats.rotation.goods import FLEECE, GOODS, TERRY, UNKNOWN_GRAMS_PER_M2, Goods
from habitats.rotation.infection import (
    RINGWORM_RULE,
    UK_HEAT_RULE,
    US_HEAT_RULE,
    WASHING_ADVICE,
    WashRule,
)
from habitats.rotation.intervals import MOST_DAYS_FOR_SEVERAL, TABLE, USUAL
from habitats.rotation.rating import RATING_SOURCE, SYNTHETIC_SHARE_PERCENT, SYNTHETIC_SOURCE
from habitats.source import PRACTICE, CitedFigure, Known, Source, cited
from habitats.structure.design import Species
from habitats.wording import joined, message

TESTS_OF_SHRINKAGE = Source(
    message("ISO 3759, ISO 6330 and ISO 5077; AATCC 135 (titles)"), Known.PRIMARY
)
WASHING_SOURCE = Source(
    message("J Feline Med Surg 18:457 (2016) for hair and drum; J Fungi 8:546 (2022) for dry heat"),
    Known.PRIMARY,
)
GOODS_CODES = ((TERRY, "terry"), (FLEECE, "fleece"))
TENTHS = 10


def wash_figures() -> tuple[CitedFigure, ...]:
    """What releases linens that were set aside."""
    return (
        _wash("wash_ringworm", message("Wash for suspected ringworm"), RINGWORM_RULE),
        _wash("wash_heat", message("Disinfection by heat"), UK_HEAT_RULE),
        _wash(
            "wash_heat_us", message("Disinfection by heat, stricter; decides nothing"), US_HEAT_RULE
        ),
        cited("wash_advice", message("How they are washed"), WASHING_SOURCE, WASHING_ADVICE),
    )


def _wash(code: str, what: str, rule: WashRule) -> CitedFigure:
    return cited(code, what, rule.source, rule.words)


def cloth_figures(units: str = METRIC) -> tuple[CitedFigure, ...]:
    assert {goods for goods, _ in GOODS_CODES} == set(GOODS)
    return (
        *(one for goods, code in GOODS_CODES for one in _goods(goods, code)),
        cited(
            "shrinkage_expected",
            message("Shrinkage where the goods are not known"),
            Source(message("a weak default: measure the real goods"), Known.MEMORY),
            _percent(EXPECTED.length),
        ),
        cited(
            "shrinkage_measured",
            message("Pieces to measure for the shrinkage of your own goods"),
            TESTS_OF_SHRINKAGE,
            message("%(pieces)d, before and after the first wash", pieces=ENOUGH_PIECES),
        ),
        cited(
            "mass_unknown",
            message("Mass of linens where the goods are not known"),
            PRACTICE,
            _per_m2(UNKNOWN_GRAMS_PER_M2),
        ),
        cited(
            "roll_width",
            message("Width of cloth off a roll"),
            PRACTICE,
            length(USUAL_CLOTH_MM, units),
        ),
    )


def _goods(goods: Goods, code: str) -> tuple[CitedFigure, CitedFigure]:
    mass = message("%(mass)s a layer", mass=_per_m2(goods.grams_per_m2))
    return (
        cited(
            f"mass_{code}", message("%(goods)s: mass", goods=goods.name), goods.mass_source, mass
        ),
        cited(
            f"shrinkage_{code}",
            message("%(goods)s: shrinkage in the first wash", goods=goods.name),
            goods.shrinkage_source,
            _percent(goods.shrinkage.length),
        ),
    )


def laundry_figures(units: str = METRIC) -> tuple[CitedFigure, ...]:
    return (
        cited(
            "machine_rating",
            message("What a washing machine is rated for"),
            RATING_SOURCE,
            message("kilograms of dry cotton"),
        ),
        cited(
            "machine_synthetics",
            message("What it takes of synthetics"),
            SYNTHETIC_SOURCE,
            message("%(share)s of that", share=f"{SYNTHETIC_SHARE_PERCENT}{NO_BREAK}%"),
        ),
        cited("change_usual", message("How often linens are changed"), PRACTICE, USUAL),
        cited(
            "change_days",
            message("Days from one change to the next, by floor for each animal"),
            PRACTICE,
            message("Guinea pigs: %(steps)s", steps=_intervals(Species.GUINEA_PIG, units)),
            message("Rabbits: %(steps)s", steps=_intervals(Species.RABBIT, units)),
            message("Several animals: %(days)d days at most", days=MOST_DAYS_FOR_SEVERAL),
        ),
    )


def _intervals(species: Species, units: str) -> str:
    steps = [
        message(
            "%(days)d from %(floor)s",
            days=one.days,
            floor=area(one.from_cm2_each * MM2_PER_CM2, units),
        )
        for one in TABLE[species]
    ]
    return joined(", ", steps)


def _per_m2(mass_g: int) -> str:
    return f"{mass_g}{NO_BREAK}g/m²"


def _percent(tenths: int) -> str:
    return with_unit(trimmed(tenths, 1), "%")
