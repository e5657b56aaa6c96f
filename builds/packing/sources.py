"""The figures of kits, each with its source."""

from builds.making.sources import SOURCES, advice_figures
from builds.packing.linen_care import linen_care
from builds.packing.mass import PLAY
from habitats.rotation.infection import RINGWORM_RULE, UK_HEAT_RULE
from habitats.rotation.sources import WASHING_SOURCE
from habitats.source import PRACTICE, CitedFigure, Known, Source, cited
from habitats.wording import message

WHOLE_PERCENT = 100
KIT_SOURCES = {
    **SOURCES,
    Known.MEMORY.words: Source("", Known.MEMORY),
    **{rule.source.words: rule.source for rule in (RINGWORM_RULE, UK_HEAT_RULE)},
    WASHING_SOURCE.text: WASHING_SOURCE,
}


def kit_figures() -> tuple[CitedFigure, ...]:
    return (
        cited(
            "kit_mass",
            message("Difference in mass of two kits from one plan"),
            PRACTICE,
            message("up to %(percent)s %%", percent=WHOLE_PERCENT // PLAY),
        ),
        *advice_figures("kit", linen_care(()), KIT_SOURCES),
    )
