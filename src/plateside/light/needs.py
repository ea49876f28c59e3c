"""Good hours under stated needs, light left, and the best of several spots and windows.

good_intervals(day, needs)                 when a DayLight meets the needs
light_left_min(day, at, needs)             minutes left from a moment
best_spots(days, needs)                    DayLights ranked by good minutes
"""
