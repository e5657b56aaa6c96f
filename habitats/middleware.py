"""What every request goes through, before any page sees it."""

from collections.abc import Callable

from django.http import Http404, HttpRequest, HttpResponse

NUL = "%00"

Answer = Callable[[HttpRequest], HttpResponse]


def without_nul(answer: Answer) -> Answer:
    """There is no page at an address with a NUL in its query, which PostgreSQL takes in no text.

    Nobody types one. In forms that are sent, Django's fields refuse it with a sentence.
    """

    def look(request: HttpRequest) -> HttpResponse:
        if NUL in request.META.get("QUERY_STRING", ""):
            raise Http404("An address holds no NUL.")
        return answer(request)

    return look
