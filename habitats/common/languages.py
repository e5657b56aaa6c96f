"""The languages that the product speaks, and its pure packages' sentences in each."""

from django import forms
from django.conf import settings
from django.http import HttpRequest
from django.utils import translation
from django.utils.formats import get_format
from django.utils.functional import Promise
from django.utils.translation import gettext, ngettext, pgettext
from django.utils.translation import gettext_lazy as _
from django.utils.translation.trans_real import parse_accept_lang_header

ENGLISH = "en"
# Long enough for any tag of RFC 5646 that somebody translates into.
CODE_LENGTH = 16


def choices() -> list[tuple[str, str]]:
    """Code and own name of each language, for a form; asked late, since tests add one."""
    return list(settings.LANGUAGES)


def choices_or_the_browsers() -> list[tuple[str, Promise | str]]:
    """The same for somebody who need not choose: empty leaves it to their browser."""
    return [("", _("The browser's language")), *choices()]


def is_spoken(code: str) -> bool:
    """Whether the product speaks it: a choice may outlive the language."""
    return code in dict(choices())


def spoken_as(tag: str) -> str:
    """The language of the screens that a tag asks for, such as en; empty if there is none."""
    try:
        return translation.get_supported_language_variant(tag.lower())
    except LookupError:
        return ""


class InALanguage(forms.Form):
    """A paper that is printed in a language; left out, in that of who prints it."""

    language = forms.ChoiceField(label=_("Language"), choices=choices, required=False)

    def language_chosen(self) -> str:
        """Of the paper; only of a form that is valid."""
        chosen: str = self.cleaned_data["language"]
        return chosen or translation.get_language() or settings.LANGUAGE_CODE


def of_the_browser(request: HttpRequest) -> str:
    """The first language of the browser that the product speaks; empty if it speaks none."""
    for asked, _weight in parse_accept_lang_header(request.headers.get("Accept-Language", "")):
        if found := spoken_as(asked):
            return found
    return ""


class Catalogue:
    """Sentences of pure packages, from the catalogue of the language in use."""

    def sentence(self, pattern: str, context: str) -> str:
        return pgettext(context, pattern) if context else gettext(pattern)

    def counted(self, one: str, many: str, count: int) -> str:
        return ngettext(one, many, count)

    def number(self, figures: str) -> str:
        return figures.replace(".", get_format("DECIMAL_SEPARATOR"))


CATALOGUE = Catalogue()


def reader() -> Catalogue | None:
    """Who reads at this moment; None for a reader of English, and for a command."""
    language = translation.get_language()
    return None if language is None or language.startswith(ENGLISH) else CATALOGUE
