"""What the tool tells of a measured frame, alone and against its reference."""

from types import SimpleNamespace
from typing import Any

from plateside.frames.kinds import BlurKind, kind_against, kind_of
from tests.synthetic.measured import Measured


def told_against(row: Measured) -> BlurKind:
    """As `judge` does with a reference."""
    return kind_against(row.softening, row.wants_shallow)[0]


def told_alone(row: Measured) -> BlurKind:
    """As `judge` does without one."""
    focus: Any = SimpleNamespace(
        edges_on_subject=row.edges_on_subject,
        features=row.alone,
        subject_spread_px=row.subject_spread_px,
        around_spread_px=row.around_spread_px,
        sharp_across=row.sharp_across,
        core=row.core,
        clear_share=row.clear_share,
        best_spread_px=row.best_spread_px,
        measured_px=0,
    )
    return kind_of(focus, row.wants_shallow)[0]
