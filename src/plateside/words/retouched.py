"""What is said of files that come back from retouching: what was found of each, and the one thing to do."""

from collections.abc import Sequence

from plateside.finish.facts import CameBack

RETOUCHED_FOLDER = "finished/retouched"
TAKE_IN = (
    f"Retouched a picture in your own program? Drop the file here, or save it into {RETOUCHED_FOLDER}, as TIFF, PNG or "
    "JPEG. It counts in place of the picture; the picture as it was made is kept."
)


def placed(file: str) -> str:
    """A file under finished/, and the folder to find it in."""
    folder, _, name = f"finished/{file}".rpartition("/")
    return f"{name} (in {folder})"


def wrong_kind(file: str) -> str:
    return f"{file} is not used: save it as TIFF, PNG or JPEG."


def came_back_sentence(c: CameBack, pictures: Sequence[str]) -> str:
    """What was found of a file, and the one thing to do."""
    file = placed(c.file)
    match c.code:
        case "taken":
            smaller = f" It has {c.size[0]} x {c.size[1]} of {c.asked[0]} x {c.asked[1]} pixels."
            less = smaller if c.size[0] < c.asked[0] else ""
            return " ".join(part for part in (f"{file} is used for {c.picture}.{less}", c.text) if part)
        case "later":
            return f"{file} is not used: {placed(c.other)} came later."
        case "as made":
            return f"{file} is not used: {c.picture} counts as it was made, by your choice."
        case "another kind":
            return wrong_kind(file)
        case "print colours":
            return f"{file} is not used: it is in print colours (CMYK). Save it as RGB with its profile."
        case "of another":
            return (
                f"{file} is not used: it is named after {c.picture}, and was made from {c.other}. Rename it."
            )
        case "another frame":
            return (
                f"{file} is not used: it was made from another frame than {c.picture} now. Retouch the new picture, or "
                "choose that frame again."
            )
        case "another shape":
            return (
                f"{file} is not used: it has {c.size[0]} x {c.size[1]} pixels, another shape than {c.picture} with "
                f"{c.asked[0]} x {c.asked[1]}. Save it uncropped: you crop on the Deliver page."
            )
        case "another picture":
            return (
                f"{file} is not used: it does not lie on {c.picture}, so it is another picture or a part of it. Save "
                "it uncropped, or name it after its own picture."
            )
        case "no picture":
            such = f", such as {pictures[0]}-retouched.tif" if pictures else ""
            return f"{file} is not used: no picture has that name. Name it after its picture{such}."
    return f"{file} is not used. {c.text}"


def waiting_sentence(file: str) -> str:
    return f"{placed(file)} has come back: make the series again to take it in."


def retouched_sentence(file: str, wrong: str) -> str:
    """That a retouched file counts here, and what is wrong with it."""
    name = placed(file)
    match wrong:
        case "older":
            again = f"The picture was made again after you retouched {name}."
            return f"{again} Retouch the new one, or keep yours."
        case "changed":
            return f"You changed {name} since: make the series again, so that it is looked at."
        case "gone":
            return f"Your retouched {name} is gone, so the picture as it was made counts. Add it again, or leave it so."
    return f"Your retouched {name} counts here. The picture as it was made is kept."
