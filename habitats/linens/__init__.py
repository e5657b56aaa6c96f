"""Linens, the spots they lie in, changes, pools and the laundry."""
