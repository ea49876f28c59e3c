"""Work that a page waits for."""

from plateside.web.hands.names import Work

WORK: dict[str, Work] = {}
