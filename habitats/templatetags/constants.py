"""``{% translate %}``, ``{% url %}`` and ``|date`` of what is always the same, worked out once.

A page has two hundred such words and twenty such addresses, and Django asks its catalogues and its
table of addresses for each of them each time. Words hang on the language alone, and addresses on
their values and the prefix under which the server runs. Whatever has a filter, a context or a name
is Django's own.
"""

import datetime
from functools import lru_cache
from typing import Any, Self

from django import template
from django.template.base import FilterExpression, Variable
from django.template.defaultfilters import date as date_of_django
from django.template.defaulttags import URLNode
from django.template.defaulttags import url as url_of_django
from django.templatetags.i18n import BlockTranslateNode, TranslateNode
from django.templatetags.i18n import do_block_translate as sentence_of_django
from django.templatetags.i18n import do_translate as translate_of_django
from django.urls import get_script_prefix, get_urlconf, reverse
from django.utils.html import conditional_escape
from django.utils.translation import get_language

register = template.Library()
MOST_DAYS = 4096
MOST_ADDRESSES = 4096
PLAIN = (str, int)  # values of which equal ones stand alike in an address


class _Words(template.Node):
    def __init__(self, node: TranslateNode) -> None:
        self._node = node
        self._by_language: dict[str, str] = {}

    def render(self, context: template.Context) -> str:
        language = get_language() or ""
        if language not in self._by_language:
            self._by_language[language] = self._node.render(context)
        return self._by_language[language]


class _Sentence(BlockTranslateNode):
    """With values: what is looked up in the catalogues is put together once."""

    _told: dict[bool, tuple[str, list[str]]]

    @classmethod
    def like(cls, node: BlockTranslateNode) -> Self:
        made = cls.__new__(cls)
        vars(made).update(vars(node))
        made._told = {}
        return made

    def render_token_list(self, tokens: Any) -> tuple[str, list[str]]:
        is_plural = tokens is self.plural
        if is_plural not in self._told:
            self._told[is_plural] = super().render_token_list(tokens)
        said, names = self._told[is_plural]
        return said, list(names)  # Django goes on to fill it


class _Address(template.Node):
    def __init__(self, node: URLNode) -> None:
        self._node = node
        self._by_prefix: dict[tuple[str, str | None], str] = {}

    def render(self, context: template.Context) -> str:
        where = get_script_prefix(), get_urlconf()
        if where not in self._by_prefix:
            self._by_prefix[where] = self._node.render(context)
        return self._by_prefix[where]


class _AddressOf(template.Node):
    """Of something by its values. No namespace is there twice, so the page it stands on is nothing
    to it."""

    def __init__(self, node: URLNode) -> None:
        self._node = node

    def render(self, context: template.Context) -> str:
        values = tuple(one.resolve(context) for one in self._node.args)
        if not context.autoescape or any(type(one) not in PLAIN for one in values):
            return self._node.render(context)
        name = self._node.view_name.resolve(context)
        return _address(name, values, get_script_prefix(), get_urlconf())


@lru_cache(MOST_ADDRESSES)
def _address(name: str, values: tuple[Any, ...], _prefix: str, _urlconf: str | None) -> str:
    return conditional_escape(reverse(name, args=values))


@register.tag("trans")
@register.tag("translate")
def translate(parser: Any, token: Any) -> template.Node:
    node = translate_of_django(parser, token)
    is_constant = isinstance(node, TranslateNode) and _is_constant(node.filter_expression)
    if not is_constant or node.noop or node.asvar or node.message_context:
        return node
    return _Words(node)


@register.tag("blocktrans")
@register.tag("blocktranslate")
def blocktranslate(parser: Any, token: Any) -> template.Node:
    return _Sentence.like(sentence_of_django(parser, token))


@register.tag
def url(parser: Any, token: Any) -> template.Node:
    node = url_of_django(parser, token)
    if node.kwargs or node.asvar or not _is_constant(node.view_name):
        return node
    return _AddressOf(node) if node.args else _Address(node)


@register.filter(expects_localtime=True, is_safe=False)
def date(value: Any, how: Any = None) -> Any:
    """A day, which stands on a page many times, is written out once for each language."""
    if type(value) is datetime.date and how is not None:
        return _day(value, str(how), get_language())
    return date_of_django(value, how)


@lru_cache(MOST_DAYS)
def _day(day: datetime.date, how: str, _language: str | None) -> Any:
    return date_of_django(day, how)


def _is_constant(told: FilterExpression) -> bool:
    """Written out in quotes, with no filter."""
    is_quoted = isinstance(told.var, str) or (
        isinstance(told.var, Variable) and told.var.literal is not None
    )
    return is_quoted and not told.filters
