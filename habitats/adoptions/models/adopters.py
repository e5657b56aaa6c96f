"""Adopters: who takes animals in, and how to reach them.

All that names a person stands in this one row, so that it can be erased without touching what
happened.
"""

import uuid
from typing import Self

from django.conf import settings
from django.db import models
from django.db.models.functions import Lower
from django.utils import timezone
from django.utils.translation import gettext as _

from habitats.common.codes import CODE_LENGTH, new_code
from habitats.common.idempotency import Idempotent, get_or_make
from habitats.people.models.people import Person

LONGEST_NAME = 80


class AdopterQuerySet(models.QuerySet["Adopter"]):
    def named_like(self, words: str) -> Self:
        """Name, telephone or email hold the words, or the code is the words, or an animal of
        theirs is called so."""
        about = models.Q(name__icontains=words) | models.Q(email__icontains=words)
        reached = models.Q(phone__icontains=words) | models.Q(code=words.upper())
        theirs = Adopter.objects.filter(
            models.Q(adoptions__animals__animal__name__icontains=words)
            | models.Q(adoptions__animals__animal__code=words.upper())
        )
        return self.filter(about | reached | models.Q(pk__in=theirs.values("pk")))

    def by_name(self) -> Self:
        """Without those that only point to another, and those that were erased."""
        found = self.filter(same_as__isnull=True, erased_on__isnull=True)
        return found.order_by(Lower("name"), "pk")

    def write_down(
        self, *, by: Person, idempotency_key: uuid.UUID | None = None, **facts: object
    ) -> "Adopter":
        """A new adopter. The same key again gives the same one."""
        return get_or_make(self, idempotency_key, **facts, code=new_code(), made_by=by)


class Adopter(Idempotent):
    """Somebody who takes animals in, or wishes to."""

    code = models.CharField(max_length=CODE_LENGTH, unique=True, editable=False)
    name = models.CharField(max_length=LONGEST_NAME)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(max_length=120, blank=True)
    address = models.TextField(max_length=300, blank=True)
    notes = models.TextField(max_length=2000, blank=True)
    # A pointer to the adopter with whom it was merged.
    same_as = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, related_name="doubles", editable=False
    )
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", editable=False
    )
    made_at = models.DateTimeField(default=timezone.now, editable=False)
    # Then nothing here names a person any more; the name is the code.
    erased_on = models.DateField(null=True, editable=False)
    erased_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        related_name="+",
        editable=False,
    )

    objects = AdopterQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(name="adopter_has_a_name", condition=~models.Q(name="")),
            models.CheckConstraint(
                name="an_erased_adopter_is_not_named",
                condition=models.Q(erased_on__isnull=True)
                | models.Q(name=models.F("code"), phone="", email="", address="", notes=""),
            ),
        ]

    def __str__(self) -> str:
        if self.erased_on:
            return _("Erased adopter %(code)s") % {"code": self.code}
        return self.name

    @property
    def contacts(self) -> tuple[str, ...]:
        """Telephone and email, as far as they are known."""
        return tuple(one for one in (self.phone, self.email) if one)
