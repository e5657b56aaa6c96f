"""A home, typed by its name, code or number; a thousand of them are too many to scroll through."""

import re
from collections.abc import Iterator
from typing import Any

from django import forms
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from habitats.homes.models.homes import Home, HomeQuerySet

A_CODE = re.compile(r"[0-9A-Za-z]{1,12}")
IN_BRACKETS = re.compile(rf"\(({A_CODE.pattern})\)\s*$")
MOST_NAMED = 5


class OfferedInput(forms.TextInput):
    """A line to type in, with what it may be offered by the browser: it needs no script."""

    def offers(self) -> Iterator[str]:
        return map(_words, Home.objects.live().by_name())

    def render(
        self, name: str, value: Any, attrs: dict[str, Any] | None = None, renderer: Any = None
    ) -> SafeString:
        listed = f"{name}_offers"
        line = super().render(name, value, {**(attrs or {}), "list": listed}, renderer)
        offers = format_html_join("", '<option value="{}"></option>', ((o,) for o in self.offers()))
        return format_html('{}<datalist id="{}">{}</datalist>', line, listed, offers)


class HomeField(forms.CharField):
    """An open home; cleans to it, or to None where nothing was typed and nothing is required."""

    widget = OfferedInput

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=200, **options)

    def prepare_value(self, value: Any) -> Any:
        """An address names a home by its code; people read its name."""
        if not isinstance(value, str) or not A_CODE.fullmatch(value):
            return value
        known = Home.objects.filter(code=value.upper()).first()
        return _words(known) if known else value

    def clean(self, value: Any) -> Home | None:
        words: str = super().clean(value)
        if not words:
            return None
        found = list(_called(words).by_name()[: MOST_NAMED + 1])
        if not found:
            raise forms.ValidationError(
                _(
                    "No home is called “%(words)s”. "
                    "Type its name, its code or your own number for it."
                )
                % {"words": words}
            )
        if len(found) > 1:
            raise forms.ValidationError(_ask_which(words, found))
        if found[0].is_closed:
            raise forms.ValidationError(
                _("%(home)s is closed. Choose a home that is open.") % {"home": found[0]}
            )
        return found[0]


def _words(home: Home) -> str:
    return f"{home} ({home.code})"


def _called(words: str) -> HomeQuerySet:
    """The home with that code, or else with that number, or else all open ones with that name."""
    coded = IN_BRACKETS.search(words)
    homes = Home.objects.all()
    name, _comma, area = words.rpartition(", ")
    for named in (
        homes.filter(code=(coded[1] if coded else words).upper()),
        homes.filter(own_id=words),
        homes.live().filter(name__iexact=words),
        homes.live().filter(name__iexact=name, area__iexact=area),
        homes.live().named_like(words),
    ):
        if named.exists():
            return named
    return homes.none()


def _ask_which(words: str, found: list[Home]) -> str:
    named = "; ".join(_words(one) for one in found[:MOST_NAMED])
    values = {"words": words, "homes": named}
    if len(found) > MOST_NAMED:
        return (
            _("“%(words)s” could be several homes: %(homes)s; and others. Type the code of one.")
            % values
        )
    return _("“%(words)s” could be several homes: %(homes)s. Type the code of one.") % values
