"""Agreement and receipt of an adoption, to be signed: the rescue's own terms, and what is kept."""

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from django.db import models
from django.template.loader import render_to_string

from habitats.adoptions.models.adoptions import Adoption, AdoptionState
from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.animals.pages.words import about, species_words
from habitats.common.addresses import address_of
from habitats.common.page import PrintedPage
from habitats.rescue.models.rescue import Rescue

STYLE_SHEETS = ("css/print.css", "css/adoptions-print.css")


class GoingAnimal(NamedTuple):
    animal: Animal
    species: str
    about: str


def agreement_page(adoption: Adoption, rescue: Rescue, paper: str, today: date) -> PrintedPage:
    return _page("adoptions/print_agreement.html", adoption, rescue, paper, today)


def receipt_page(adoption: Adoption, rescue: Rescue, paper: str, today: date) -> PrintedPage:
    return _page("adoptions/print_receipt.html", adoption, rescue, paper, today)


def _page(
    template: str, adoption: Adoption, rescue: Rescue, paper: str, today: date
) -> PrintedPage:
    context = {
        "adoption": adoption,
        "rescue": rescue,
        "animals": _going(_of_the_paper(adoption)),
        "terms": [one.strip() for one in rescue.adoption_terms.splitlines() if one.strip()],
        "paper": paper,
        "today": today,
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    return PrintedPage(render_to_string(template, context), {})


def _of_the_paper(adoption: Adoption) -> AnimalQuerySet:
    """Those that go; once they went, all that did, also where one came back or died since."""
    went = adoption.events.filter(state=AdoptionState.ADOPTED).aggregate(on=models.Min("on"))["on"]
    rows = adoption.animals.open()
    if went:
        rows = adoption.animals.filter(models.Q(ended_on=None) | models.Q(ended_on__gte=went))
    return Animal.objects.filter(pk__in=rows.values("animal")).by_name()


def _going(animals: Iterable[Animal]) -> list[GoingAnimal]:
    return [GoingAnimal(one, species_words(one), about(one)) for one in animals]
