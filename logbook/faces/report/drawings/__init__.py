"""Drawings as inline SVG: maps, strips of a day's light, strips of exposure; each with its facts in words."""
