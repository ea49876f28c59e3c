"""Who made the pictures and what others may do with them; and the gates that hold a picture back."""

from dataclasses import dataclass

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


def licence_gate(rights: Rights) -> str | None:
    """What is missing before anything should be published, or None."""
    if rights.licence_url or rights.usage_terms:
        return None
    return (
        "No licence is stated, so nobody knows what may be done with the pictures: under [creator] in shoot.toml write "
        'usage_terms = "All rights reserved" or licence_url = "https://..." with your own terms.'
    )


def person_gate(shot: Shot) -> str | None:
    """Why a shot is held back, or None: somebody is in the picture and no release is on record."""
    if shot.person and not shot.release:
        return (
            f"{shot.name} is held back: a person is in the picture and no release is on record. When whoever can be "
            f"seen has agreed in writing (or it is you), write release = true under the shot in shoot.toml."
        )
    return None
