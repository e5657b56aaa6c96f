"""Addresses of the store."""

from django.urls import path

from builds.store.views import (
    deliveries,
    spending,
    stocktake,
    store,
    store_items,
    store_sheets,
    suppliers,
)

urlpatterns = [
    path("store/", store.store, name="store"),
    path("store/places/", store.store_places, name="store_places"),
    path("store/places/new/", store.new_place, name="new_place"),
    path("store/places/<slug:code>/", store.place, name="place"),
    path("store/places/<slug:code>/edit/", store.edit_place, name="edit_place"),
    path("store/places/<slug:code>/count/", stocktake.count_place, name="count_place"),
    path("store/places/<slug:code>/put-away/", store.put_place_away, name="put_place_away"),
    path("store/items/new/", store_items.new_item, name="new_item"),
    path("store/items/<int:pk>/", store_items.item, name="item"),
    path("store/items/<int:pk>/edit/", store_items.edit_item, name="edit_item"),
    path("store/items/<int:pk>/put-away/", store_items.put_item_away, name="put_item_away"),
    path("store/items/<int:pk>/<slug:act>/", store_items.item_act, name="item_act"),
    path("store/suppliers/", suppliers.suppliers, name="suppliers"),
    path("store/suppliers/new/", suppliers.new_supplier, name="new_supplier"),
    path("store/suppliers/<int:pk>/", suppliers.supplier, name="supplier"),
    path("store/suppliers/<int:pk>/edit/", suppliers.edit_supplier, name="edit_supplier"),
    path(
        "store/suppliers/<int:pk>/put-away/", suppliers.put_supplier_away, name="put_supplier_away"
    ),
    path("store/suppliers/<int:pk>/packs/new/", suppliers.new_pack, name="new_pack"),
    path("store/suppliers/<int:pk>/came-in/", suppliers.delivery, name="delivery"),
    path("store/packs/<int:pk>/", suppliers.edit_pack, name="edit_pack"),
    path("store/packs/<int:pk>/put-away/", suppliers.put_pack_away, name="put_pack_away"),
    path("store/spending/", spending.spent, name="spending"),
    path("store/spending.csv", spending.spending_csv, name="spending_csv"),
    path("store/value.csv", spending.stock_worth_csv, name="stock_worth_csv"),
    path("store/deliveries/", deliveries.deliveries, name="deliveries"),
    path("store/deliveries/<int:pk>/", deliveries.delivery, name="delivered"),
    path(
        "store/deliveries/<int:pk>/reverse/", deliveries.reverse_delivery, name="reverse_delivery"
    ),
    path("store/sheets/", store.store_offcuts, name="store_offcuts"),
    path("store/sheets/new/", store_sheets.new_sheet_kind, name="new_sheet_kind"),
    path("store/sheets/<int:pk>/", store_sheets.sheet_kind, name="sheet_kind"),
    path("store/sheets/<int:pk>/change/", store_sheets.change_sheet_kind, name="change_sheet_kind"),
    path(
        "store/sheets/<int:pk>/put-away/", store_sheets.retire_sheet_kind, name="retire_sheet_kind"
    ),
    path("store/offcuts/new/", store_sheets.new_offcut, name="new_offcut"),
    path("store/offcuts/labels.pdf", store_sheets.store_labels_pdf, name="store_labels_pdf"),
    path("store/offcuts/<slug:label>/", store_sheets.offcut, name="offcut"),
    path(
        "store/offcuts/<slug:label>/write-off/",
        store_sheets.write_off_offcut,
        name="write_off_offcut",
    ),
]
