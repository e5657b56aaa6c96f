"""Addresses of linens, pools and the laundry."""

from django.urls import path

from habitats.linens.views import changes, kinds, labels, laundry, linens, pools, scans

urlpatterns = [
    path("enclosures/<slug:code>/linens/", changes.enclosure_linens, name="enclosure_linens"),
    path("enclosures/<slug:code>/change/", changes.change_linens, name="change_linens"),
    path("enclosures/<slug:code>/spot-clean/", changes.spot_clean, name="spot_clean"),
    path("changes/", changes.changes, name="changes"),
    path("laundry/", laundry.laundry, name="laundry"),
    path("laundry/<slug:code>/load/", laundry.new_load, name="new_load"),
    path("loads/<slug:code>/", laundry.load, name="load"),
    path("l/<str:label>/measure/", laundry.measure, name="measure_linen"),
    path("linens/labels/", labels.linen_labels, name="linen_labels"),
    path("l/", scans.scan, name="scan_linen"),
    path("l/<str:label>/", scans.linen_link, name="linen_link"),
    path("linens/", linens.linens, name="linens"),
    path("linens/new/", linens.new_linens, name="new_linens"),
    path("linens/kinds/", kinds.linen_kinds, name="linen_kinds"),
    path("linens/kinds/new/", kinds.new_linen_kind, name="new_linen_kind"),
    path("linens/kinds/<int:pk>/", kinds.linen_kind, name="linen_kind"),
    path("linens/kinds/<int:pk>/measure/", kinds.new_shrink_test, name="new_shrink_test"),
    path("linens/kinds/<int:pk>/put-away/", kinds.put_kind_away, name="put_kind_away"),
    path("linens/<str:label>/", linens.linen_page, name="linen_page"),
    path("linens/<str:label>/say/", linens.set_linen_state, name="say_of_linen"),
    path("linens/<str:label>/move/", linens.move_linen, name="move_linen"),
    path("pools/", pools.pools, name="pools"),
    path("pools/new/", pools.new_pool, name="new_pool"),
    path("pools/<slug:code>/", pools.pool_page, name="pool_page"),
    path("pools/<slug:code>/edit/", pools.edit_pool, name="edit_pool"),
    path("pools/<slug:code>/programmes/", pools.new_programme, name="new_programme"),
    path(
        "pools/<slug:code>/programmes/<int:pk>/put-away/",
        pools.put_programme_away,
        name="put_programme_away",
    ),
    path("pools/<slug:code>/homes/", pools.pool_homes, name="pool_homes"),
    path("pools/<slug:code>/homes/<slug:home>/leave/", pools.stop_drawing, name="stop_drawing"),
    path("pools/<slug:code>/transfer/", pools.transfer, name="transfer_linens"),
    path("pools/<slug:code>/close/", pools.close_pool, name="close_pool"),
    path("pools/<slug:code>/reopen/", pools.reopen_pool, name="reopen_pool"),
]
