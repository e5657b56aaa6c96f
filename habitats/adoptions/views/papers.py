"""Papers of an adoption."""

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET

from habitats.adoptions.paper import agreement_page, receipt_page
from habitats.adoptions.views.adoptions import adoption_with
from habitats.common.kept_prints import kept_pdf_from
from habitats.common.page import PrintedPage
from habitats.people.access import coordinator_or_403
from habitats.rescue.models.rescue import Rescue


@require_GET
def agreement(request: HttpRequest, code: str) -> HttpResponse:
    person, found = coordinator_or_403(request), adoption_with(code)
    page = agreement_page(found, Rescue.ours(), person.paper, timezone.localdate())
    return _pdf(page, f"agreement-{found.code}.pdf")


@require_GET
def receipt(request: HttpRequest, code: str) -> HttpResponse:
    person, found = coordinator_or_403(request), adoption_with(code)
    page = receipt_page(found, Rescue.ours(), person.paper, timezone.localdate())
    return _pdf(page, f"receipt-{found.code}.pdf")


def _pdf(page: PrintedPage, name: str) -> HttpResponse:
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    pdf = kept_pdf_from(page, names_adopter=True)
    return HttpResponse(pdf, content_type="application/pdf", headers=headers)
