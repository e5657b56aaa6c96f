"""`{% load durations %}`, then `{{ minutes|as_duration }}`: working time as people say it."""

from django import template

from builds.common.durations import as_duration

register = template.Library()
register.filter(as_duration)
