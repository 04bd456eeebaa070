"""One comparison of a number of ours with a reference's."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Check:
    """`what` names the quantity and the library; the rest is in the quantity's unit."""

    what: str
    ours: float
    reference: float
    tolerance: float

    @property
    def off(self):
        """How far apart the two are. NaN, or an answer that is missing, is infinitely far."""
        if self.ours is None or self.ours != self.ours:
            return float("inf")
        return abs(self.ours - self.reference)
