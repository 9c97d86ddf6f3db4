"""From a place clicked on a photograph to millimetres on a face, and back.

A photograph counts pixels from its upper left corner, y downwards; a face counts
millimetres from its lower left corner, y upwards. The photograph must be square to the
face: perspective is not put right here.
"""

import math
from dataclasses import dataclass

import numpy as np

from ..errors import BadValue
from ..record import Face as FaceRecord
from ..record import length_in_mm
from .mark import Floats

__all__ = ["PictureScale", "picture_scale_of"]


@dataclass(frozen=True, slots=True)
class PictureScale:
    """How a picture shows a face.

    Attributes:
        mm_per_pixel: millimetres that one pixel stands for.
        origin_px: pixel of the corner at which the face begins: of the lower left corner
            as the picture shows it.
        mirrored_width_mm: width of the face where the picture is reversed: x is then
            counted from the right of the picture, so that places come out as the face is
            seen, and the face is to be declared "as seen". None where it is not reversed,
            or where places are to stay as read and the face is declared "mirrored".

    Raises:
        BadValue: a scale that is no positive number, or a width that is none.

    Example:
        >>> import numpy as np
        >>> scale = PictureScale(0.5, (100, 900))
        >>> scale.to_mm(np.array([[100, 900], [300, 500]])).tolist()
        [[0.0, 0.0], [100.0, 200.0]]
        >>> reversed_print = PictureScale(0.5, (100, 900), mirrored_width_mm=560)
        >>> reversed_print.to_mm(np.array([[300, 500]])).tolist()
        [[460.0, 200.0]]
    """

    mm_per_pixel: float
    origin_px: tuple[float, float]
    mirrored_width_mm: float | None = None

    def __post_init__(self) -> None:
        given = [("scale", self.mm_per_pixel)]
        if self.mirrored_width_mm is not None:
            given.append(("width of the mirrored face", self.mirrored_width_mm))
        for what, value in given:
            if not math.isfinite(value) or value <= 0:
                raise BadValue(f"The {what} is {value:g} mm; give more than 0.")

    def to_mm(self, pixels: Floats) -> Floats:
        """Return *pixels*, shape (n, 2), as millimetres on the face."""
        x, y = np.asarray(pixels, dtype=np.float64).reshape(-1, 2).T
        x_mm = (x - self.origin_px[0]) * self.mm_per_pixel
        y_mm = (self.origin_px[1] - y) * self.mm_per_pixel
        if self.mirrored_width_mm is not None:
            x_mm = self.mirrored_width_mm - x_mm
        placed: Floats = np.column_stack([x_mm, y_mm])
        return placed

    def to_pixels(self, points_mm: Floats) -> Floats:
        """Return millimetres on the face, shape (n, 2), as pixels of the picture."""
        x_mm, y_mm = np.asarray(points_mm, dtype=np.float64).reshape(-1, 2).T
        if self.mirrored_width_mm is not None:
            x_mm = self.mirrored_width_mm - x_mm
        x = self.origin_px[0] + x_mm / self.mm_per_pixel
        y = self.origin_px[1] - y_mm / self.mm_per_pixel
        seen: Floats = np.column_stack([x, y])
        return seen


def picture_scale_of(face: FaceRecord) -> PictureScale:
    """Return the scale that a recorded face declares; places come out as read.

    A face declared mirrored keeps its places as the picture shows them: they are turned
    when it is matched.

    Raises:
        BadValue: the face names no scale, or no pixel of its lower left corner.
    """
    if face.scale is None or face.origin_x is None or face.origin_y is None:
        raise BadValue(
            f"{face.number} says not at what scale its picture shows it: fill in 'one "
            "pixel is', 'corner x' and 'corner y'."
        )
    scale = length_in_mm(face.scale, "one pixel is")
    return PictureScale(scale, (float(face.origin_x), float(face.origin_y)))
