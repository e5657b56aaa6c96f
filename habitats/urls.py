"""Every address of the project.

`builds` is included by name, as a string: `habitats` never imports from `builds`.
"""

from django.urls import include, path

handler400 = "habitats.common.refused.unreadable"
handler403 = "habitats.common.refused.forbidden"
handler404 = "habitats.common.refused.not_found"
handler500 = "habitats.common.refused.server_fault"

# From the ground up: `homes/new/` is asked before `homes/<slug:code>/`, which looks at one.
urlpatterns = [
    path("", include("habitats.people.urls")),
    path("", include("habitats.help.urls")),
    path("", include("habitats.server.urls")),
    path("", include("habitats.rescue.urls")),
    path("", include("habitats.homes.urls")),
    path("", include("habitats.enclosures.urls")),
    path("", include("habitats.faults.urls")),
    path("", include("habitats.animals.urls")),
    path("", include("habitats.health.urls")),
    path("", include("habitats.adoptions.urls")),
    path("", include("habitats.linens.urls")),
    path("", include("habitats.traces.urls")),
    path("", include("habitats.residence.urls")),
    path("", include("habitats.records.urls")),
    path("", include("habitats.board.urls")),
    path("", include("builds.urls")),
]
