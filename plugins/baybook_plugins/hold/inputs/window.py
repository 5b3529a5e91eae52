"""The part of a capture that is the hold, and why it begins and ends there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
else:
    Floats = Any

_EMPTY = 1.0  # MPa: below it a rail is empty, not holding


class Window(NamedTuple):
    """Sample numbers from `first` up to, not including, `end`; and what bounds it on either side."""

    first: int
    end: int
    begins: str
    ends: str
    begin_time: float
    """s, as in the capture."""
    end_time: float

    def moved(self, by: int, begin_time: float) -> Window:
        """The same with its begin so many samples later, because what came before does not fit a shut rail."""
        begins = "what came before fits no shut rail"
        return self._replace(first=self.first + by, begins=begins, begin_time=begin_time)

    def words(self) -> str:
        """For a note."""
        return f"from {self.begin_time:.4g} s ({self.begins}) to {self.end_time:.4g} s ({self.ends})"


def find_window(time: Floats, pressure: Floats) -> Window:
    """The longest stretch in which pressure (MPa gauge, shape (n,)) only falls, and never at once.

    Raises `ValueError` where no stretch of at least ten samples stays above 1 MPa.
    """
    from baybook_physics.inference.segment import falling_segment

    try:
        found = falling_segment(time, pressure, _EMPTY)
    except ValueError as error:
        raise ValueError("no stretch in which the pressure only falls, above 1 MPa") from error
    begins = "the capture begins" if found.from_start else "until then pressure rose or was kept up"
    ends = "the capture ends" if found.to_end else "then pressure rose, fell at once or was gone"
    return Window(found.first, found.end, begins, ends, float(time[found.first]), float(time[found.end - 1]))
