"""How long food may stay out, in the words of each country's rule; where it was read stands in plan/clocks.py."""

from plateside.plan.clocks import HoldingRule

_USDA_TIMES = (
    "perishable food out of the fridge for 2 hours in all, 1 hour above 32 °C (90 °F), is thrown away"
)
_GB_LAW = (
    "England, Wales and Northern Ireland (Schedule 4 of the Food Safety and Hygiene (England) Regulations 2013, of the "
    "Food Hygiene (Wales) Regulations 2006, of the Food Hygiene Regulations (Northern Ireland) 2006): hot at 63 °C or "
    "above, chilled at 8 °C or below; out once only, hot food under 2 hours, cold under 4. Scotland (Schedule 4 of the "
    "Food Hygiene (Scotland) Regulations 2006): in a refrigerator or a cool ventilated place, or above 63 °C; it names "
    "no time."
)
_GUIDANCE = f"As guidance only, from the United States (USDA, 'Danger Zone'): {_USDA_TIMES}."
_RULES = {
    "US": f"United States, USDA Food Safety and Inspection Service, 'Danger Zone': {_USDA_TIMES}. Food businesses, "
    "FDA Food Code 3-501.16: hot at 57 °C (135 °F) or above, cold at 5 °C (41 °F) or below; your state's edition "
    "decides.",
    "AU": "Australia, Food Standards Code, Standard 3.2.2 with FSANZ's 2-hour/4-hour guide, time between 5 and 60 °C "
    "added up: under 2 hours use or chill again, 2 to 4 hours use now, over 4 hours throw away.",
    "NZ": "New Zealand, Ministry of Health, 'Food safety': leftovers go into the fridge within 2 hours; plan to throw "
    "away what was out longer. A food business goes by its own plan under the Food Act 2014 (Ministry for Primary "
    "Industries).",
    "GB cold": f"{_GB_LAW} Planned here as cold food: 4 hours.",
    "GB hot": f"{_GB_LAW} Planned here as hot food: 2 hours.",
    "EU": "EU food law (Regulation (EC) No 852/2004, Annex II, chapter IX): do not break the cold chain; food may be "
    "out of it for a limited time while it is handled and served, if that brings no risk to health. It names no "
    f"minutes; the national food authority of {{name}} may: ask it. {_GUIDANCE}",
    "none": "Plateside knows no rule of {name} for food left out: ask your national food authority. "
    + _GUIDANCE,
}
_BODY = {
    "US": "USDA Food Safety and Inspection Service",
    "AU": "Food Standards Australia New Zealand (FSANZ)",
    "NZ": "New Zealand Ministry of Health",
    "GB cold": "Food Standards Agency (Scotland: Food Standards Scotland)",
    "GB hot": "Food Standards Agency (Scotland: Food Standards Scotland)",
}
"""Who published the minutes that the plan goes by."""
ADDED_UP = (
    "Time out adds up over stand-in, hero and resets. If unsure, throw it away; never judge by look or smell."
)


def holding_sentences(rule: HoldingRule) -> str:
    """The rule that the plan goes by."""
    return _RULES[rule.code].format(name=rule.name or "your country")


def body_phrase(rule: HoldingRule) -> str:
    """Whose minutes they are, behind a limit: 'USDA Food Safety and Inspection Service'."""
    if rule.own:
        return _BODY[rule.code]
    return f"USDA guidance from the United States, not a rule of {rule.name or 'your country'}"
