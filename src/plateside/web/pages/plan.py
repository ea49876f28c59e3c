"""To be drawn."""

from starlette.routing import BaseRoute

from plateside.web.tool import Tool


def routes(tool: Tool) -> list[BaseRoute]:
    """None yet."""
    return []
