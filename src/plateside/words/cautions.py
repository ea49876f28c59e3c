"""Where this work can hurt somebody: short, and deferring to the maker, local codes and licensed practice.

Common practice of studios, no source, where none is named. Lamp, lead and water: the national wiring rules and a
licensed electrician. Burns, 20 minutes of cool running water: first-aid bodies. Chair and step: HSE, INDG402 (LA455).
Plants: Colorado State University Extension, Edible Flowers (table 1); Barash's list; Illinois Poison Center on winter
plants; NC Extension on florist's flowers.
"""

from plateside.plan.cautions import PlantCaution

FOLLOW = "Follow local codes, makers' limits and licensed practice."
"""Ends every list of cautions."""

SET_UP = {
    "rig": "The rig: this is arithmetic, not approval. Point the arm over a leg, hang the bag low so that it cannot "
    "swing, tether the camera, keep heads and hot pans out from under it; the maker's limits decide.",
    "no chair": "Do not climb on a chair to see the screen: tilt it or use a remote view; use a step only on a level, "
    "dry floor.",
    "pour": "The pour: hot glaze, oil and sugar burn deep. Pour away from yourself, with the camera on the far side, "
    "and no hot liquid into cold glass; cool a burn under running water for 20 minutes.",
    "steam": "Steam: let it rise clear of the lens; no burner or charcoal indoors without ventilation.",
    "flour": "Fine sugar and flour burn in the air: no candle or flame near.",
    "helper": "A helper who can be recognised signs a model release first; showing your own face is your choice.",
}
"""By the codes of SetUp.cautions."""

DAY = {
    "electricity": "No lamp, charger or lead on a wet worktop, across the floor or under a pour.",
    "sun and glass": "A lens or a glass bowl in the sun can set cloth alight: cap it or cover it.",
    "not food": "Stand-ins, glue, florist's flowers and 'decorative' sparkle are not food: do not eat what they "
    "touched.",
    "releases": "A model release from every recognisable helper, signed before the shoot.",
}
"""By the codes of plan.cautions.day_cautions."""

_PLANT = {
    "poisonous": "poisonous. Not on the plate, not on the chopping board, not near food that will be eaten.",
    "not food": "not on the list of edible plants. Keep it off the food and off what food touches.",
    "florist": "florist's flowers carry pesticides. Keep them off the food; a plant that is not on the list may "
    "still be poisonous.",
}


def plant_sentence(plant: PlantCaution) -> str:
    """'ivy: poisonous. Not on the plate ...'."""
    return f"{plant.name}: {_PLANT[plant.code]}"
