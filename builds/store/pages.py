"""What the store's form pages show beside their form."""

from typing import NamedTuple

from django.db.models import Model


class PutAwayButton(NamedTuple):
    """The button that puts something away or brings it back, and what it says.

    It is sent to the address called ``form`` and is about ``subject``.
    """

    form: str
    subject: Model
    address: str
    is_put_away: bool
    sentence: str

    @property
    def button(self) -> str:
        return "Bring it back" if self.is_put_away else "Put it away"
