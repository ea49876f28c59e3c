"""What the page Choose is sent of a choice: facts, and the sentences that are shown of them."""

from typing import Any

from plateside.tasks.choose.selects import ChooseReport
from plateside.words.choose import reasons_phrase, remark_sentence


def proposal(report: ChooseReport) -> dict[str, Any]:
    """What Plateside would choose for every shot."""
    shots = []
    for choice in report.shots:
        picks = {
            kind: None
            if pick is None
            else {"frame": pick.frame, "name": pick.name, "by": pick.by, "why": reasons_phrase(pick)}
            for kind, pick in (("select", choice.select), ("alternate", choice.alternate))
        }
        shots.append({"shot": choice.shot, **picks, "remark": remark_sentence(choice.remark)})
    return {"shots": shots}
