"""What people call a build, of the columns that its name is kept in."""

from django.utils.translation import gettext as _


def build_name(name: str, is_named_as_repair: bool) -> str:
    """Its name; where nobody gave it one, that it is the repair of the enclosure of this name."""
    return _("Repair of %(enclosure)s") % {"enclosure": name} if is_named_as_repair else name
