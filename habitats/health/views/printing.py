"""The health log of an animal on paper."""

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET

from habitats.animals.pages.rows import animal_seen_by
from habitats.animals.pages.words import age_words, sex_in_a_line, species_words
from habitats.common.pdf import pdf_from
from habitats.health.pages.dose_rows import CAUTION
from habitats.health.paper import LONGEST_SHOWN, health_log_page, printed_log
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue

ADOPTER = "adopter"


@require_GET
def health_log_pdf(request: HttpRequest, code: str) -> HttpResponse:
    """For a vet; with ``?for=adopter`` with boxes for the doses to come."""
    person = member_or_403(request, Person.Role.FOSTER)
    animal, today = animal_seen_by(person, code), timezone.localdate()
    for_adopter = request.GET.get("for") == ADOPTER
    page = health_log_page(
        animal=animal,
        species=species_words(animal),
        sex=sex_in_a_line(animal),
        age=age_words(animal, today),
        log=printed_log(animal, today, timezone.now(), for_adopter=for_adopter),
        for_adopter=for_adopter,
        today=today,
        rescue=Rescue.ours(),
        paper=person.paper,
        caution=CAUTION,
        longest=LONGEST_SHOWN,
    )
    headers = {"Content-Disposition": f'inline; filename="health-{animal.code}.pdf"'}
    return HttpResponse(pdf_from(page), content_type="application/pdf", headers=headers)
