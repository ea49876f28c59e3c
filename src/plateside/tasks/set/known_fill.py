"""What is known of a reference's key against fill: by the ball that stood in it, else by the plan."""

from hashlib import sha256

from plateside.files.index.index import Index
from plateside.files.settings.load import OpenShoot
from plateside.frames.facts import Ball
from plateside.frames.fill import KnownFill
from plateside.frames.set_up_acts import BALL_SURE
from plateside.model.frame import Frame
from plateside.model.shoot import Shot
from plateside.plan.unlit import why_unlit

KIND = "planned fill"


def known_fill(
    opened: OpenShoot, index: Index, reference: Frame, shot: Shot, ball: Ball | None
) -> KnownFill | None:
    """The reference's own ratio and where its key comes from; None when neither ball nor plan tells it.

    The plan is asked only where the shot asks for a ratio, once for each reference: predicting takes a second or two.
    """
    if ball is not None and ball.confidence >= BALL_SURE:
        half = 0.6 * ball.width
        tall = half * max(reference.width_px, 1) / max(reference.height_px, 1)
        box = (ball.at[0] - half, ball.at[1] - tall, ball.at[0] + half, ball.at[1] + tall)
        return KnownFill(ball.ratio_stops, "the ball", ball.from_right, ball.from_above, box)
    taken = reference.settings.taken_at
    if shot.fill_stops is None or taken is None or why_unlit(opened.studio):
        return None
    version = f"1 {hash_of(opened, shot)}"
    cached = index.facts(reference.id, kind=KIND, version=version)
    if cached is None:
        # what is found is kept, and the light engine takes long to load: few starts need it
        from plateside.tasks.set.planned_fill import planned_fill

        found = planned_fill(opened, shot, taken)
        cached = {} if found is None else {
            "ratio_stops": found.ratio_stops, "from_right": found.from_right, "from_above": found.from_above
        }  # fmt: skip
        index.put_facts(reference.id, cached, kind=KIND, version=version)
    if not cached:
        return None
    return KnownFill(cached["ratio_stops"], "the plan", cached["from_right"], cached["from_above"])


def hash_of(opened: OpenShoot, shot: Shot) -> str:
    """A name for all that the prediction rests on."""
    rests = repr((opened.studio, opened.shoot.date, opened.shoot.sky, shot))
    return sha256(rests.encode()).hexdigest()[:16]
