"""The set: frames watched and judged as they land, and every press."""
