"""Addresses of designs and builds."""

from django.urls import include, path

app_name = "builds"

# From the ground up, as the addresses of `habitats` are.
urlpatterns = [
    path("", include("builds.sources.urls")),
    path("", include("builds.leaflets.urls")),
    path("", include("builds.designs.urls")),
    path("", include("builds.store.urls")),
    path("", include("builds.batches.urls")),
    path("", include("builds.pulls.urls")),
    path("", include("builds.building.urls")),
    path("", include("builds.placing.urls")),
    path("", include("builds.kits.urls")),
    path("", include("builds.search.urls")),
]
