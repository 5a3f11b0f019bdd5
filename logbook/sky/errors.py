"""What can be wrong with a question to the sky.

One surprising decision: it is a plain `ValueError`, because this room stands below the project's error tree.
"""


class SkyValueError(ValueError):
    """A place, an instant or a span the sky cannot be asked about; the text says what to do."""
