"""One animal, home or person that was written down twice becomes one row; the other is a pointer.

Every row of every table that points at the double points at the kept one afterwards: the relations
are walked, so that a new table is moved without being named. Facts that both rows tell, and tell
otherwise, are chosen before.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from django.db import IntegrityError, models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from habitats.common.days import in_full
from habitats.common.facts import fields_of
from habitats.common.relations import rows_about

KEPT, DOUBLE = "kept", "double"


class CannotMerge(Exception):
    """With a sentence: nothing was changed."""


class ContraryFact(NamedTuple):
    """What the two rows tell otherwise, in words. ``key``: the first of its fields."""

    key: str
    label: str
    kept: str
    double: str


@dataclass(frozen=True)
class MergeRules:
    """``left``: fields that are no facts, or that the noun settles by itself. ``together``: fields
    that are one fact. ``joined``: texts of which both are kept. ``unique``: texts that no two rows
    may have, so the double loses its own. ``labels``: of fields, as its form calls them."""

    left: frozenset[str]
    together: tuple[tuple[str, ...], ...] = ()
    joined: tuple[str, ...] = ()
    unique: tuple[str, ...] = ()
    labels: Mapping[str, object] | None = None

    def bundles(self, model: type[models.Model]) -> Iterator[tuple[str, ...]]:
        bundled = {name for names in self.together for name in names}
        yield from self.together
        for field in model._meta.concrete_fields:
            is_fact = field.name not in self.left and field.name not in self.joined
            if is_fact and field.name not in bundled and not field.primary_key:
                yield (field.name,)


def contrary_facts(
    kept: models.Model, double: models.Model, rules: MergeRules
) -> list[ContraryFact]:
    """What has to be chosen; what only one of them tells, or both alike, is taken as it is."""
    return [
        ContraryFact(
            names[0],
            fields_of(kept, names, rules.labels)[0].label,
            _words(kept, names, rules),
            _words(double, names, rules),
        )
        for names in rules.bundles(type(kept))
        if _tells(kept, names) and _tells(double, names) and not _alike(kept, double, names)
    ]


def take_facts(
    kept: models.Model, double: models.Model, rules: MergeRules, chosen: Mapping[str, str]
) -> None:
    """The kept row tells what was chosen, and what only the double told; neither is saved."""
    for names in rules.bundles(type(kept)):
        if _tells(double, names) and (not _tells(kept, names) or chosen.get(names[0]) == DOUBLE):
            for name in names:
                setattr(kept, name, getattr(double, name))
    for name in rules.joined:
        texts = [text for text in (getattr(kept, name), getattr(double, name)) if text]
        setattr(kept, name, "\n".join(dict.fromkeys(texts)))
    for name in rules.unique:
        setattr(double, name, "")


def take_over(
    kept: models.Model,
    double: models.Model,
    rules: MergeRules,
    chosen: Mapping[str, str],
    contrary: Callable[[], Sequence[ContraryFact]],
) -> None:
    """Both are locked, and the facts taken; inside a transaction, and neither is saved.

    Raises ``CannotMerge`` where one is a pointer already, and where something is not chosen.
    """
    rows = type(kept)._base_manager.filter(pk__in=(kept.pk, double.pk), same_as__isnull=True)
    # Read, not counted: a count locks nothing.
    if len(rows.select_for_update(no_key=True).order_by("pk").values_list("pk")) < 2:
        raise CannotMerge(_("One of them was merged already."))
    if {one.key for one in contrary()} - set(chosen):
        raise CannotMerge(_("Choose one of the two for each fact."))
    take_facts(kept, double, rules, chosen)


def note_merge(kept: Any, double: Any, by: object, *, name: object = "") -> None:
    """The notes of the kept row begin with what was merged; cut at what they hold."""
    values = {"code": double.code, "day": in_full(timezone.localdate()), "person": by}
    words = _("Merged with %(code)s on %(day)s by %(person)s.") % values
    if name:
        words = _("Merged with %(code)s (%(name)s) on %(day)s by %(person)s.") % {
            **values,
            "name": name,
        }
    longest = kept._meta.get_field("notes").max_length or 0
    kept.notes = f"{words}\n{kept.notes}".strip()[:longest]


def refuse_the_same(kept: models.Model, double: models.Model) -> None:
    if kept.pk == double.pk:
        raise CannotMerge(_("This is the same record. Choose another one."))


def move_relations(kept: models.Model, double: models.Model, without: Sequence[str] = ()) -> None:
    """All that points at the double points at the kept row; but for models that are named."""
    for rows in rows_about(double):
        if rows.model._meta.model_name not in without:
            _move(rows, kept, double)


def _move(rows: "models.QuerySet[Any]", kept: models.Model, double: models.Model) -> None:
    for name in _names_of(rows.model, type(kept)):
        pointing = rows.model._base_manager.filter(**{name: double.pk})
        try:
            with transaction.atomic():
                pointing.update(**{name: kept.pk})
        except IntegrityError:
            for row in pointing:
                _move_one(row, name, kept)


def _move_one(row: models.Model, name: str, kept: models.Model) -> None:
    """Where the kept row has the very same already, this one goes, if it was to go with its owner:
    what happened, which is protected, never does."""
    alone = type(row)._base_manager.filter(pk=row.pk)
    try:
        with transaction.atomic():
            alone.update(**{name: kept.pk})
    except IntegrityError as clash:
        if _is_history(row, name):
            raise CannotMerge(
                _("“%(row)s” is recorded for both, and only one can have it.") % {"row": row}
            ) from clash
        alone.delete()


def _is_history(row: models.Model, name: str) -> bool:
    key = row._meta.get_field(name)
    return key.remote_field.on_delete is models.PROTECT  # type: ignore[union-attr]


def _names_of(model: type[models.Model], to: type[models.Model]) -> list[str]:
    found = model._meta.concrete_fields
    return [one.name for one in found if one.is_relation and one.related_model is to]


def _tells(row: models.Model, names: Sequence[str]) -> bool:
    """Whether any of the fields says something that is not what nobody said."""
    return any(not _is_unsaid(row, name) for name in names)


def _is_unsaid(row: models.Model, name: str) -> bool:
    field = row._meta.get_field(name)
    value = getattr(row, name)
    return value in (None, "", False) or value == field.get_default()  # type: ignore[union-attr]


def _alike(one: models.Model, other: models.Model, names: Sequence[str]) -> bool:
    return all(getattr(one, name) == getattr(other, name) for name in names)


def _words(row: models.Model, names: Sequence[str], rules: MergeRules) -> str:
    told = [name for name in names if not _is_unsaid(row, name)]
    facts = fields_of(row, told, rules.labels)
    if len(facts) == 1:
        return facts[0].words
    return ", ".join(f"{one.label}: {one.words}" for one in facts)
