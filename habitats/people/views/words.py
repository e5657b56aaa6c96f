"""The words that scripts say, as a script."""

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_GET

from habitats.common.languages import is_spoken
from habitats.common.script_words import script_words

A_YEAR_S = 365 * 24 * 3600


# They are the same for everybody, and their address changes with them.
@login_not_required
@require_GET
@cache_control(max_age=A_YEAR_S, immutable=True)
def words(request: HttpRequest, language: str) -> HttpResponse:
    if not is_spoken(language):
        raise Http404("The product does not speak this language.")
    return HttpResponse(script_words(language), content_type="text/javascript; charset=utf-8")
