"""What the tables of the two files are called on a page, and the files themselves."""

THINGS = {
    "windows": "window",
    "windows.opposite": "view from the window",
    "spots": "table spot",
    "boards": "board",
    "diffusers": "diffuser",
    "furniture": "furniture",
    "cameras": "camera",
    "lenses": "lens",
    "supports": "support",
    "surfaces": "surface",
    "props": "prop",
    "readings": "light reading",
    "shots": "shot",
    "channels": "channel",
    "shots.boards": "board of the shot",
    "recipe.steps": "step",
    "room": "room",
    "place": "place",
    "recipe": "recipe",
    "creator": "creator",
    "all channels": "channels",
    "fit": "corrections from your readings",
}
"""By the table's name: windows of [[windows]]."""

FILES = {"studio.toml": "the studio", "shoot.toml": "the shoot"}


def thing(head: str) -> str:
    """'window' of '[[windows]]'; '' of the top of a file."""
    name = head.strip("[]")
    return THINGS.get(name, name.replace("_", " ").replace(".", " "))
