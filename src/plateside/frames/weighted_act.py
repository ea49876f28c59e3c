"""An act with how much it matters."""

from dataclasses import dataclass

from plateside.model.frame import Act


@dataclass(frozen=True)
class WeightedAct:
    """2 spoils the frame, 1 should be changed, 0 is a remark."""

    act: Act
    weight: int
