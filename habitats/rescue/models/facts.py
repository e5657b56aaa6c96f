"""Facts of the rescue's figures that two coordinators may change at once."""

import json

from django.utils.translation import gettext as _

from habitats.basis import Fact
from habitats.common.facts import NONE, fact
from habitats.rescue.models.rescue import Rescue


def own_figures(ours_and_species: tuple[Rescue, str]) -> list[Fact]:
    ours, species = ours_and_species
    figures = json.dumps(ours.own_rules.get(species, {}), sort_keys=True)
    rules = ours.rules_for(species)
    has_own = bool(ours.own_figures(species))  # type: ignore[arg-type]
    return [
        fact(ours, f"rules {species}", _("Space standard"), rules),
        fact(ours, f"own {species}", _("Own figures"), figures, _("changed") if has_own else NONE),
    ]
