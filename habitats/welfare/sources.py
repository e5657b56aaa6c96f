"""The figures of company, growth and weights, each with its source.

Every value is taken from where it is computed with. Codes of what stands against a group are
those of its objections.
"""

from habitats.decimals import trimmed_tenths
from habitats.measures import grams
from habitats.source import PRACTICE, CitedFigure, Known, Source, cited
from habitats.structure.design import Species
from habitats.welfare.checks import NAILS_DAYS, TEETH_DAYS
from habitats.welfare.checks import SOURCE as CHECKING
from habitats.welfare.company import APART
from habitats.welfare.doses import LATE_AFTER
from habitats.welfare.doses import SOURCE as DOSING
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
from habitats.welfare.rehoming import LEAST_DAYS
from habitats.welfare.weights import HEAVIEST_G, LIGHTEST_G, NEWBORN_DAYS, YOUNG_DAYS
from habitats.wording import Figures, Message, message

GUINEA_PIG, RABBIT = Species.GUINEA_PIG, Species.RABBIT
NEVER_SINGLY = Source(message("the space standard chosen, where it says so"), Known.OWN)


def company_figures() -> tuple[CitedFigure, ...]:
    """Who may live together, and when not."""
    return (
        cited(
            "two_species",
            message("Rabbits with guinea pigs"),
            APART,
            message("never together"),
        ),
        cited(
            "young_male",
            message("Guinea pigs: young males leave females"),
            PARTING[GUINEA_PIG],
            message(
                "at %(days)d days or %(grams)s, whichever comes first; announced from %(notice)d "
                "days",
                days=LEAVES_DAYS[GUINEA_PIG],
                grams=grams(LEAVES_G),
                notice=NOTICE_DAYS[GUINEA_PIG],
            ),
        ),
        cited(
            "young_male_rabbit",
            message("Rabbits: young males leave females"),
            PARTING[RABBIT],
            message(
                "at %(days)d days; announced from %(notice)d days",
                days=LEAVES_DAYS[RABBIT],
                notice=NOTICE_DAYS[RABBIT],
            ),
        ),
        cited(
            "castration_wait",
            message("Apart from entire females after castration"),
            WAITING,
            message("%(days)d days", days=WAIT_DAYS),
        ),
        _gestation(
            "possible_litter",
            message("Guinea pigs: possible litter after the last contact with an entire male"),
            GUINEA_PIG,
        ),
        _gestation(
            "possible_litter_rabbit",
            message("Rabbits: possible litter after the last contact with an entire male"),
            RABBIT,
        ),
        cited(
            "birth_with_male",
            message("No entire male with a female that gives birth"),
            AFTER_BIRTH,
            message("the day of birth and the day after: %(days)d days", days=BIRTH_DAYS),
        ),
        _weaning("without_mother", message("Guinea pigs: weaning"), GUINEA_PIG),
        _weaning("without_mother_rabbit", message("Rabbits: weaning"), RABBIT),
        cited(
            "two_males",
            message("Two entire males"),
            PRACTICE,
            message("a warning: many such pairs fight as they grow up"),
        ),
        cited(
            "bonding_refused",
            message("Two animals that refused each other"),
            PRACTICE,
            message("a warning until an attempt ends with their bond"),
        ),
        cited(
            "sex_unknown",
            message("Animals whose sex is not recorded"),
            PRACTICE,
            message("count as a male and a female"),
        ),
        cited(
            "sex_unknown_young",
            message("Young animals whose sex is not recorded"),
            PRACTICE,
            message("count as a male and a female that may soon breed"),
        ),
        cited(
            "sex_check",
            message("Checking a sex that is not recorded"),
            PRACTICE,
            message(
                "at once; young guinea pigs from %(pigs)d days, rabbits from %(rabbits)d days",
                pigs=NOTICE_DAYS[GUINEA_PIG],
                rabbits=NOTICE_DAYS[RABBIT],
            ),
        ),
        cited(
            "alone",
            message("An animal alone"),
            PRACTICE,
            message("a warning: it needs company of its own kind"),
        ),
        cited(
            "never_alone",
            message("An animal alone, where the space standard forbids it"),
            NEVER_SINGLY,
            message("not allowed"),
        ),
        cited(
            "alone_in_quarantine",
            message("An animal alone in quarantine"),
            PRACTICE,
            message("allowed with a recorded reason"),
        ),
    )


def adoption_figures() -> tuple[CitedFigure, ...]:
    """What animals are held back from, or warned about, when they leave for a home of their own."""
    return (
        cited(
            "leaves_too_young",
            message("Age at which animals leave for a new home"),
            PRACTICE,
            message("guinea pigs %(days)d days", days=LEAST_DAYS[GUINEA_PIG]),
            message("rabbits %(days)d days", days=LEAST_DAYS[RABBIT]),
        ),
        cited(
            "split_group",
            message("Animals that live together"),
            PRACTICE,
            message("are adopted together, or separated for a recorded reason"),
        ),
        cited(
            "leaves_quarantine",
            message("Animals in quarantine"),
            PRACTICE,
            message("wait until it is over, or leave for a recorded reason"),
        ),
        cited(
            "leaves_unwell",
            message("Animals that lost weight"),
            PRACTICE,
            message("see a vet first, or leave for a recorded reason"),
        ),
        cited(
            "home_unchecked",
            message("The enclosure at the new home"),
            PRACTICE,
            message("is checked against your space standard before the animals go"),
        ),
    )


def _gestation(code: str, what: Message, species: Species) -> CitedFigure:
    shortest, longest = GESTATION_DAYS[species]
    return cited(
        code,
        what,
        GESTATION[species],
        message("%(shortest)d to %(longest)d days", shortest=shortest, longest=longest),
    )


def _weaning(code: str, what: Message, species: Species) -> CitedFigure:
    return cited(
        code,
        what,
        WEANING[species],
        message(
            "%(weaned)d days at the earliest; the litter counts as with its mother for %(litter)d "
            "days",
            weaned=WEANED_DAYS[species],
            litter=LITTER_DAYS[species],
        ),
    )


def quarantine_figures() -> tuple[CitedFigure, ...]:
    days = {
        one: message(
            "%(days)d days at least, %(advised)d advised",
            days=DEFAULTS.quarantine_days(one),
            advised=DEFAULTS.quarantine_advised_days(one),
        )
        for one in Species
    }
    return (
        cited(
            "quarantine",
            message("Guinea pigs: quarantine at intake"),
            AT_INTAKE[GUINEA_PIG],
            days[GUINEA_PIG],
        ),
        cited(
            "quarantine_rabbit",
            message("Rabbits: quarantine at intake"),
            AT_INTAKE[RABBIT],
            days[RABBIT],
        ),
        cited(
            "quarantine_ill",
            message("Quarantine for illness"),
            PRACTICE,
            message("as long as your vet says"),
        ),
        cited(
            "rhd",
            message("Rabbits exposed to rabbit haemorrhagic disease (RHD)"),
            RHD,
            message("%(days)d days and a negative serology", days=RHD_DAYS),
        ),
        cited(
            "rhd_sampled_early",
            message("Sample for that serology"),
            PRACTICE,
            message("taken %(days)d days after the exposure or later", days=RHD_DAYS),
        ),
    )


def weight_figures() -> tuple[CitedFigure, ...]:
    return (
        cited(
            "growth",
            message("Forecast weight, guinea pigs"),
            GUIDE,
            message(
                "%(full)d g / (1 + %(ratio)s e^(−%(rate)s t)), t in days",
                full=FULL_G,
                ratio=Figures(BIRTH_RATIO),
                rate=Figures(RATE_A_DAY),
            ),
        ),
        cited(
            "growth_rabbit",
            message("Forecast weight, rabbits"),
            PRACTICE,
            message(
                "its own gain over %(days)d days or more, up to its expected adult weight; no "
                "sourced curve was found",
                days=GAIN_OVER_DAYS,
            ),
        ),
        cited(
            "weight_alarm",
            message("Fall in weight that calls for a vet"),
            PRACTICE,
            message(
                "%(percent)s %% within %(days)d days; your rescue may set its own",
                percent=trimmed_tenths(DEFAULTS.fall_percent),
                days=DEFAULTS.fall_within_days,
            ),
        ),
        cited(
            "weigh_every",
            message("Days from one weighing to the next"),
            PRACTICE,
            message(
                "young animals %(young)d, adults %(adults)d; your rescue may set its own",
                young=DEFAULTS.stale_young_days,
                adults=DEFAULTS.stale_days,
            ),
        ),
        cited(
            "routine_checks",
            message("Days from one check of teeth or nails to the next"),
            CHECKING,
            message(
                "teeth %(teeth)d, nails %(nails)d; your rescue may set its own, or none",
                teeth=TEETH_DAYS,
                nails=NAILS_DAYS,
            ),
        ),
        cited(
            "dose_late",
            message("A dose is called late"),
            DOSING,
            message(
                "%(minutes)d minutes after its time; when to give it is your vet's word",
                minutes=LATE_AFTER.seconds // 60,
            ),
        ),
        cited(
            "newborn_until",
            message("The newborn are weighed every day"),
            PRACTICE,
            message("until %(days)d days old", days=NEWBORN_DAYS),
        ),
        cited(
            "young_until",
            message("Animals count as young"),
            PRACTICE,
            message(
                "guinea pigs until %(guinea_pigs)d days, rabbits until %(rabbits)d",
                guinea_pigs=YOUNG_DAYS[GUINEA_PIG],
                rabbits=YOUNG_DAYS[RABBIT],
            ),
        ),
        cited(
            "possible_weights",
            message("Weights that are accepted"),
            PRACTICE,
            message(
                "guinea pigs %(lightest)s to %(heaviest)s",
                lightest=grams(LIGHTEST_G[GUINEA_PIG]),
                heaviest=grams(HEAVIEST_G[GUINEA_PIG]),
            ),
            message(
                "rabbits %(lightest)s to %(heaviest)s",
                lightest=grams(LIGHTEST_G[RABBIT]),
                heaviest=grams(HEAVIEST_G[RABBIT]),
            ),
        ),
    )
