"""To which side a circuit, a turn or an orbit goes."""

from enum import Enum


class Side(Enum):
    """Left or right, as the pilot of the aircraft sees it."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def sign(self) -> float:
        """Plus one for a turn to the right (heading grows), minus one to the left."""
        return 1.0 if self is Side.RIGHT else -1.0
