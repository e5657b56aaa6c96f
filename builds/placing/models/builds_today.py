"""What could be built, with its cost, and what is being built for homes already."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _

from builds.placing.models.what_if import ToCome
from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.builds import Build
from builds.store.models.costs import PricedNeeds, prices_of
from habitats.designs.models.designs import Design, DesignRevision
from habitats.designs.models.structures import structure_of, structure_of_standing
from habitats.homes.models.homes import Home
from habitats.structure.design import Species, footprint_mm
from habitats.structure.structure import Structure

UNDER_WAY = "build-"  # before the code of a build, which could be that of an enclosure too


@dataclass(frozen=True, slots=True)
class DesignOffer:
    """A design of the library that can be built, and what one of it costs."""

    design: Design
    revision: DesignRevision
    structure: Structure
    price: PricedNeeds

    @property
    def species(self) -> Species:
        return self.structure.design.species

    @property
    def sides_mm(self) -> tuple[int, int]:
        return footprint_mm(self.structure.design)


def design_offers() -> Mapping[str, DesignOffer]:
    """By code; the same few queries for any number. Parts and sheets are kept by shape."""
    found = [
        (design, design.current, structure)
        for design in Design.objects.listed().live().with_revision().order_by("code")
        if design.current and (structure := structure_of(design.shape()))
    ]
    prices = prices_of([structure for *_design, structure in found]) if found else []
    return {one[0].code: DesignOffer(*one, price) for one, price in zip(found, prices, strict=True)}


def imagined(offer: DesignOffer, home: Home | None, number: int) -> dict[str, ToCome]:
    """So many more of a design, by what a case calls them."""
    words = _("%(design)s, imagined %(number)d")
    return {
        f"more-{one}": ToCome(
            words % {"design": offer.design.name, "number": one}, home, offer.structure, None
        )
        for one in range(1, number + 1)
    }


def being_built() -> dict[str, ToCome]:
    """Builds under way, by what a case calls them."""
    return {f"{UNDER_WAY}{one.build.code}": one for one in _under_way() if one.build}


def _under_way() -> Iterator[ToCome]:
    """By code. What is altered or mended stands already."""
    builds = Build.objects.live().filter(
        home__isnull=False, home__closed_on__isnull=True, adopter=""
    )
    found = {one.pk: one for one in builds.select_related("home").order_by("code")}
    plans = BuildPlan.objects.filter(build__in=found).order_by("number").select_related("revision")
    newest = {one.build_id: one for one in plans.defer("parts", "points")}
    for key, build in found.items():
        plan = newest.get(key)
        if plan is None or plan.standing_id or plan.is_repair or build.home is None:
            continue
        if structure := structure_of_standing(plan.revision.shape()):
            yield ToCome(str(build), build.home, structure, build)
