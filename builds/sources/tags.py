"""`{% load sources %}`, then `{% source_link warning %}`: the short link to where a figure is from.

A tag, so that a page of `habitats` shows it and imports nothing of `builds`.
"""

from typing import Any

from django import template

from builds.cited import link_for

register = template.Library()


@register.inclusion_tag("sources/_link.html")
def source_link(said: object) -> dict[str, Any]:
    """For a code, a source, or what has one; nothing where no figure stands behind it."""
    return {"link": link_for(said)}
