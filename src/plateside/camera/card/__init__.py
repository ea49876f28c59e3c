"""The set card: a printed card of square markers that tells scale, tilt and place of the camera."""
