"""Fields of forms as Django's own templates draw them, written by plain code.

A choice of three hundred homes is three hundred templates within one: half of the time that its
page takes. What has a template of its own goes on by that. ``tests/common/test_widgets.py`` holds
each of these against its template; white space between tags is left out. A number alone is drawn
otherwise: as text.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from django.forms.renderers import DjangoTemplates
from django.utils.formats import get_format, localize
from django.utils.functional import Promise
from django.utils.html import conditional_escape

Drawn = Mapping[str, Any]
BOUNDS = ("min", "max", "step")
PLAIN_DECIMAL = re.compile(r"-?[0-9]+[.][0-9]+")
FOLDER = "django/forms/widgets/"
# All of these draw the same line.
LINES = (
    *("input", "text", "number", "email", "url", "password", "hidden", "date", "time", "datetime"),
    *("file", "checkbox", "color", "tel", "search"),
)
SELECT_OPTION = f"{FOLDER}select_option.html"
TICKED_OPTIONS = (f"{FOLDER}radio_option.html", f"{FOLDER}checkbox_option.html")


class PlainRenderer(DjangoTemplates):
    """The renderer of every form (``FORM_RENDERER``)."""

    def render(self, template_name: str, context: dict[str, Any], request: Any = None) -> str:
        draw = PLAIN.get(template_name)
        widget = context.get("widget")
        if draw is None or widget is None or not _has_usual_options(widget):
            return super().render(template_name, context, request)
        return draw(widget)


def _has_usual_options(widget: Drawn) -> bool:
    return all(
        option["template_name"] == SELECT_OPTION or option["template_name"] in TICKED_OPTIONS
        for _group, options, _index in widget.get("optgroups", ())
        for option in options
    )


def _line(widget: Drawn) -> str:
    if widget["type"] == "number":
        return _line(_number(widget))
    value = widget["value"]
    told = "" if value is None else f' value="{_text(value)}"'
    kind, name = conditional_escape(widget["type"]), conditional_escape(widget["name"])
    return f'<input type="{kind}" name="{name}"{told}{_attributes(widget)}>'


def _number(widget: Drawn) -> Drawn:
    """A line of text with the keys for numbers.

    Browsers drop from a field for numbers what they take for none, such as “2,5” on an English
    phone: it could not be shown again beside what is wrong with it. Its bounds are said by the
    form; a minus sign is not on the keys of every phone.
    """
    given, value = widget["attrs"], widget["value"]
    attributes = {name: one for name, one in given.items() if name not in BOUNDS}
    if not str(given.get("min", "")).startswith("-"):
        is_whole = str(given.get("step", 1)) == "1"
        attributes.setdefault("inputmode", "numeric" if is_whole else "decimal")
    if value is not None and PLAIN_DECIMAL.fullmatch(str(value)):
        value = str(value).replace(".", get_format("DECIMAL_SEPARATOR"))
    return {**widget, "type": "text", "value": value, "attrs": attributes}


def _lines(widget: Drawn) -> str:
    value = widget["value"]
    told = conditional_escape(value) if value else ""
    name = conditional_escape(widget["name"])
    # The line break is not of the text: browsers leave the first one out.
    return f'<textarea name="{name}"{_attributes(widget)}>\n{told}</textarea>'


def _select(widget: Drawn) -> str:
    name = conditional_escape(widget["name"])
    return f'<select name="{name}"{_attributes(widget)}>{"".join(_groups(widget))}</select>'


def _groups(widget: Drawn) -> Iterator[str]:
    for group, options, _index in widget["optgroups"]:
        if group:
            yield f'<optgroup label="{_words(group)}">'
        for one in options:
            value, words = _text(one["value"]), _words(one["label"])
            yield f'<option value="{value}"{_attributes(one)}>{words}</option>'
        if group:
            yield "</optgroup>"


def _ticked(widget: Drawn) -> str:
    attributes = widget["attrs"]
    told = "".join(
        f' {name}="{_words(attributes[name])}"' for name in ("id", "class") if attributes.get(name)
    )
    return f"<div{told}>{''.join(_ticked_groups(widget))}</div>"


def _ticked_groups(widget: Drawn) -> Iterator[str]:
    for group, options, _index in widget["optgroups"]:
        if group:
            yield f"<div><label>{_words(group)}</label>"
        for one in options:
            yield f"<div>{_option_line(one)}</div>"
        if group:
            yield "</div>"


def _option_line(option: Drawn) -> str:
    if not option["wrap_label"]:
        return _line(option)
    id = option["attrs"].get("id")
    about = f' for="{_words(id)}"' if id else ""
    return f"<label{about}>{_line(option)} {_words(option['label'])}</label>"


def _attributes(widget: Drawn) -> str:
    return "".join(
        f" {conditional_escape(name)}" + ("" if value is True else f'="{_text(value)}"')
        for name, value in widget["attrs"].items()
        if value is not False
    )


def _text(value: object) -> str:
    """As a form sends it, whatever the reader's language."""
    return str(conditional_escape(value if isinstance(value, str) else str(value)))


def _words(value: object) -> str:
    """As people read it."""
    return _text(value if isinstance(value, (str, Promise)) else localize(value))


PLAIN: dict[str, Callable[[Drawn], str]] = {
    **{f"{FOLDER}{name}.html": _line for name in LINES},
    f"{FOLDER}textarea.html": _lines,
    f"{FOLDER}select.html": _select,
    f"{FOLDER}radio.html": _ticked,
    f"{FOLDER}checkbox_select.html": _ticked,
}
