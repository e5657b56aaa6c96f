"""`{% load glossary %}`, then `{% term "par" %}`: a word that leads to where it is explained."""

from django import template
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from habitats.glossary import BY_KEY

register = template.Library()


@register.simple_tag
def term(key: str) -> SafeString:
    """Raises ``KeyError`` for a key that the glossary does not have."""
    return format_html('<a href="{}#{}">{}</a>', reverse("help"), key, BY_KEY[key].term)
