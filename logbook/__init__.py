"""A trip and shoot logbook for travelling photographers, with static-site export."""

__version__ = "0.1.0"
