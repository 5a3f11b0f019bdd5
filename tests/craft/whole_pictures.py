"""Edges of a picture that lies in memory as a whole; the program itself decodes only what it looks at."""

from logbook.craft.edges import SIDE, STEP, Edges, Pixels, edges_at


def edges_of(picture: Pixels) -> Edges | None:
    """Return the edges of a picture in grey (rows of 0 to 255); None where it is too small."""
    height, width = picture.shape
    return edges_at(
        picture[STEP // 2 :: STEP, STEP // 2 :: STEP],
        (width, height),
        lambda left, top: picture[top : top + SIDE, left : left + SIDE],
    )
