"""Homes found for animals: adopters, adoptions from the reservation on, the waiting list."""
