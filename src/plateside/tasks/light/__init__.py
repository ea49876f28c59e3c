"""The light: at a moment, over a day, a week, a year; what was measured of it."""
