"""Values for the form pages of the store."""

from typing import NamedTuple

from django.db.models import Model
from django.utils.translation import gettext as _


class ArchiveButton(NamedTuple):
    """The button that archives something or restores it, and what it says.

    It is sent to the address called ``form`` and is about ``subject``.
    """

    form: str
    subject: Model
    address: str
    is_put_away: bool
    sentence: str

    @property
    def button(self) -> str:
        return _("Restore") if self.is_put_away else _("Archive")
