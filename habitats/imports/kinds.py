"""What can be imported, in the order in which one file points to another."""

from habitats.imports.animals import ANIMALS
from habitats.imports.contacts import CONTACTS
from habitats.imports.enclosures import ENCLOSURES
from habitats.imports.homes import HOMES
from habitats.imports.values import ImportKind
from habitats.imports.weights import WEIGHTS

KINDS: dict[str, ImportKind] = {
    kind.id: kind for kind in (HOMES, CONTACTS, ENCLOSURES, ANIMALS, WEIGHTS)
}
