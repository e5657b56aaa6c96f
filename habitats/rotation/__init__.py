"""Linens through the wash: what they measure and weigh, when they are changed, what runs short."""
