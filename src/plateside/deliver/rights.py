"""Who made the pictures and what others may do with them; and the gates that hold a picture back."""

from dataclasses import dataclass

from plateside.deliver.points import Point
from plateside.model.shoot import Creator, Shot


@dataclass(frozen=True)
class Rights:
    """The rights as they are written into every file and into the page."""

    creator: str
    credit: str
    copyright: str
    licence_url: str
    acquire_url: str
    usage_terms: str
    language: str


def rights_of(creator: Creator, year: int) -> Rights:
    """What is left out is made from name and year; a licence is never made up."""
    return Rights(
        creator=creator.name,
        credit=creator.credit or creator.name,
        copyright=creator.copyright or f"© {year} {creator.name}",
        licence_url=creator.licence_url,
        acquire_url=creator.acquire_url,
        usage_terms=creator.usage_terms,
        language=creator.language,
    )


def licence_gate(rights: Rights) -> Point | None:
    """What is missing before anything should be published, or None."""
    if rights.licence_url or rights.usage_terms:
        return None
    return Point("no licence", blocks=True)


def person_gate(shot: Shot) -> Point | None:
    """Why a shot is held back, or None: somebody is in the picture and no release is on record."""
    if shot.person and not shot.model_release:
        return Point("no release", shot.name, blocks=True)
    return None
