"""The figures of company, growth and weights, each with its source.

Every value is taken from where it is computed with. Codes of what stands against a group are
those of its objections.
"""

from habitats.measures import grams
from habitats.source import PRACTICE, CitedFigure, Known, Source, cited
from habitats.structure.design import Species
from habitats.welfare.company import APART
from habitats.welfare.growth import BIRTH_RATIO, FULL_G, GAIN_OVER_DAYS, GUIDE, RATE_A_DAY
from habitats.welfare.limits import DEFAULTS
from habitats.welfare.litters import (
    AFTER_BIRTH,
    BIRTH_DAYS,
    GESTATION,
    GESTATION_DAYS,
    LITTER_DAYS,
    WEANED_DAYS,
    WEANING,
)
from habitats.welfare.maturity import (
    LEAVES_DAYS,
    LEAVES_G,
    NOTICE_DAYS,
    PARTING,
    WAIT_DAYS,
    WAITING,
)
from habitats.welfare.quarantine import AT_INTAKE, RHD, RHD_DAYS
from habitats.welfare.weights import HEAVIEST_G, LIGHTEST_G, YOUNG_DAYS

GUINEA_PIG, RABBIT = Species.GUINEA_PIG, Species.RABBIT
NEVER_SINGLY = Source("the space standard chosen, where it says so", Known.OWN)


def company_figures() -> tuple[CitedFigure, ...]:
    """Who may live together, and when not."""
    return (
        cited(
            "two_species",
            "Rabbits with guinea pigs",
            APART,
            "never together",
        ),
        cited(
            "young_male",
            "Guinea pigs: young males leave females",
            PARTING[GUINEA_PIG],
            f"at {LEAVES_DAYS[GUINEA_PIG]} days or {grams(LEAVES_G)}, whichever comes first; "
            f"announced from {NOTICE_DAYS[GUINEA_PIG]} days",
        ),
        cited(
            "young_male_rabbit",
            "Rabbits: young males leave females",
            PARTING[RABBIT],
            f"at {LEAVES_DAYS[RABBIT]} days; announced from {NOTICE_DAYS[RABBIT]} days",
        ),
        cited(
            "castration_wait",
            "Apart from entire females after castration",
            WAITING,
            f"{WAIT_DAYS} days",
        ),
        _gestation("possible_litter", "Guinea pigs", GUINEA_PIG),
        _gestation("possible_litter_rabbit", "Rabbits", RABBIT),
        cited(
            "birth_with_male",
            "No entire male with a female that gives birth",
            AFTER_BIRTH,
            f"the day of birth and the day after: {BIRTH_DAYS} days",
        ),
        _weaning("without_mother", "Guinea pigs", GUINEA_PIG),
        _weaning("without_mother_rabbit", "Rabbits", RABBIT),
        cited(
            "two_males",
            "Two entire males",
            PRACTICE,
            "a warning: many such pairs fight as they grow up",
        ),
        cited(
            "sex_unknown",
            "Animals whose sex is not recorded",
            PRACTICE,
            "count as a male and a female",
        ),
        cited(
            "sex_unknown_young",
            "Young animals whose sex is not recorded",
            PRACTICE,
            "count as a male and a female that may soon breed",
        ),
        cited(
            "alone",
            "An animal alone",
            PRACTICE,
            "a warning: it needs company of its own kind",
        ),
        cited(
            "never_alone",
            "An animal alone, where the space standard forbids it",
            NEVER_SINGLY,
            "not allowed",
        ),
        cited(
            "alone_in_quarantine",
            "An animal alone in quarantine",
            PRACTICE,
            "allowed with a recorded reason",
        ),
    )


def _gestation(code: str, who: str, species: Species) -> CitedFigure:
    shortest, longest = GESTATION_DAYS[species]
    return cited(
        code,
        f"{who}: possible litter after the last contact with an entire male",
        GESTATION[species],
        f"{shortest} to {longest} days",
    )


def _weaning(code: str, who: str, species: Species) -> CitedFigure:
    return cited(
        code,
        f"{who}: weaning",
        WEANING[species],
        f"{WEANED_DAYS[species]} days at the earliest; the litter counts as with its mother for "
        f"{LITTER_DAYS[species]} days",
    )


def quarantine_figures() -> tuple[CitedFigure, ...]:
    days = f"{DEFAULTS.quarantine_days} days at least, {DEFAULTS.quarantine_advised_days} advised"
    return (
        cited("quarantine", "Guinea pigs: quarantine at intake", AT_INTAKE[GUINEA_PIG], days),
        cited("quarantine_rabbit", "Rabbits: quarantine at intake", AT_INTAKE[RABBIT], days),
        cited(
            "quarantine_ill",
            "Quarantine for illness",
            PRACTICE,
            "as long as your vet says",
        ),
        cited(
            "rhd",
            "Rabbits exposed to rabbit haemorrhagic disease (RHD)",
            RHD,
            f"{RHD_DAYS} days and a negative serology",
        ),
        cited(
            "rhd_sampled_early",
            "Sample for that serology",
            PRACTICE,
            f"taken {RHD_DAYS} days after the exposure or later",
        ),
    )


def weight_figures() -> tuple[CitedFigure, ...]:
    return (
        cited(
            "growth",
            "Weight ahead, guinea pigs",
            GUIDE,
            f"{FULL_G} g / (1 + {BIRTH_RATIO} e^(−{RATE_A_DAY} t)), t in days",
        ),
        cited(
            "growth_rabbit",
            "Weight ahead, rabbits",
            PRACTICE,
            f"its own gain over {GAIN_OVER_DAYS} days or more, up to its expected adult weight; no "
            "sourced curve was found",
        ),
        cited(
            "weight_alarm",
            "Fall in weight that calls for a vet",
            PRACTICE,
            f"{DEFAULTS.fall_percent:g} % within {DEFAULTS.fall_within_days} days; your rescue may "
            "set its own",
        ),
        cited(
            "weigh_every",
            "Days from one weighing to the next",
            PRACTICE,
            f"young animals {DEFAULTS.stale_young_days}, adults {DEFAULTS.stale_days}; your rescue "
            "may set its own",
        ),
        cited(
            "young_until",
            "Animals count as young",
            PRACTICE,
            f"guinea pigs until {YOUNG_DAYS[GUINEA_PIG]} days, rabbits until {YOUNG_DAYS[RABBIT]}",
        ),
        cited(
            "possible_weights",
            "Weights that are accepted",
            PRACTICE,
            *(
                f"{who} {grams(LIGHTEST_G[species])} to {grams(HEAVIEST_G[species])}"
                for who, species in (("guinea pigs", GUINEA_PIG), ("rabbits", RABBIT))
            ),
        ),
    )
