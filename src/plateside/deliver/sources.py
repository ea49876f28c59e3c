"""What a delivery was made from, by content: what has changed since is known and named, whatever the clocks say."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from plateside.deliver.rights import Rights
from plateside.deliver.words import words_for
from plateside.model.shoot import Shoot

Shares = tuple[float, float, float, float]


def sources_of(
    shoot: Shoot,
    rights: Rights,
    pictures: Mapping[str, str],
    words: Mapping[str, dict[str, str]],
    crops: Mapping[tuple[str, str], Shares],
    dishes: Mapping[str, Shares],
) -> dict[str, str]:
    """Everything a delivery depends on: what it is ("picture cup", "crop cup wide", "recipe") -> digest of its content.

    pictures  shot -> digest of its finished picture as it is now; a shot without one is left out
    words, crops, dishes  as decided on the pages
    """
    found: dict[str, Any] = {
        "rights": asdict(rights),
        "recipe": asdict(shoot.recipe),
        "page": (shoot.date, shoot.creator.page_url),
        "shots": [shot.name for shot in shoot.shots],
    }
    for channel in shoot.channels:
        found[f"channel {channel.name}"] = asdict(channel)
    for shot in shoot.shots:
        # what is only planned by (times, lens ...) leaves the delivery as it is
        found[f"shot {shot.name}"] = (
            shot.person, shot.model_release, shot.channels, shot.role, shot.deliberate, shot.frame_width_mm,
            shot.frame_height_mm, shot.elevation, shot.dish_width_mm, shot.dish_height_mm,
        )  # fmt: skip
        said = words_for(shoot.recipe, shot, words.get(shot.name))
        found[f"words {shot.name}"] = (said.title, said.description, said.alt_text)
        found |= {f"picture {shot.name}": pictures[shot.name]} if shot.name in pictures else {}
        found |= {f"dish {shot.name}": dishes[shot.name]} if shot.name in dishes else {}
    for (name, channel_name), box in crops.items():
        found[f"crop {name} {channel_name}"] = box
    return {name: _digest(value) for name, value in found.items()}


def changed_since(then: Mapping[str, str], now: Mapping[str, str]) -> tuple[str, ...]:
    """Names of the sources that differ, were added or are gone, in order."""
    return tuple(name for name in dict.fromkeys([*now, *then]) if then.get(name) != now.get(name))


def _digest(value: Any) -> str:
    text = json.dumps(value, sort_keys=True, ensure_ascii=False, default=str)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:32]
