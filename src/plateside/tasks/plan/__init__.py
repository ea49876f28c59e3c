"""The plan: set-ups, the day, the planned pictures, the papers."""
