"""Visits: one person's stays of a day, cut, joined and kept apart."""
