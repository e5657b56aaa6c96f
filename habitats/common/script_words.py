"""The words that scripts say, in each language, and where browsers find them."""

from functools import lru_cache
from hashlib import sha256

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import translation
from django.views.i18n import JavaScriptCatalog


@lru_cache
def script_words(language: str) -> bytes:
    """A script that defines `gettext`, `ngettext` and `interpolate`."""
    asked = HttpRequest()
    asked.method = "GET"
    with translation.override(language):
        answer = JavaScriptCatalog.as_view()(asked)
    assert isinstance(answer, HttpResponse)
    return answer.content


def address_of_words(language: str) -> str:
    """Where the words of a language are, with a mark that changes when they do."""
    return f"{reverse('words', args=[language])}?{sha256(script_words(language)).hexdigest()[:12]}"


def addresses_of_words() -> list[str]:
    """Those of all languages, for a phone that stores what it needs without signal."""
    return [address_of_words(code) for code, _name in settings.LANGUAGES]
