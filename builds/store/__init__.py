"""The store: items, places, the ledger, stocktakes, suppliers, deliveries, sheets and offcuts."""
