"""Plateside: from a room, a window and a recipe to a matched, publishable set of food photographs."""

__version__ = "0.1.0"
