"""An invented recipe with awkward words, and a delivery of it, for the tests of words, metadata and pages."""

from plateside.deliver.renditions import File, Rendition, ShotFiles
from plateside.deliver.rights import Rights
from plateside.deliver.words import words_for
from plateside.model.shoot import Channel, Recipe, Shot, Step

AWKWARD = 'Crème & "brûlée" <b>🍮</b> </script><script>alert(1)</script> --> ]]> \u2028 ü'

RIGHTS = Rights(
    creator="Ána Quéiros & Co",
    credit="Ána Quéiros <photo>",
    copyright='© 2027 "Ána Quéiros"',
    licence_url="https://example.org/licence?a=1&b=2",
    acquire_url="https://example.org/ask?for=this&that",
    usage_terms="Ask first; <no> exceptions & no excuses",
    language="pt-PT",
)

STEPS = (
    Step(name="soak the bread", takes="PT2H", hands=False, text="Soak the bread & the almonds."),
    Step(name="blend", takes="PT15M"),
    Step(name="pour", takes="PT0M20S", text=AWKWARD),
)

RECIPE = Recipe(
    title="Chilled soup & <crumbs>",
    description='A cold "green" soup & more.',
    serves="4 bowls",
    cuisine="Portuguese",
    course="Starter",
    keywords=("soup", "cold & green"),
    ingredients=("900 g cucumbers", "salt & <pepper>"),
    allergens=("tree nuts (almond)", "gluten"),
    steps=STEPS,
)

WIDE = Channel(name="page-wide", width_px=1600, height_px=900, formats=("jpeg", "webp", "avif"))
CLASSIC = Channel(name="page-classic", width_px=1600, height_px=1200)
SQUARE = Channel(name="page-square", width_px=1200, height_px=1200)
VERTICAL = Channel(name="vertical", width_px=1080, height_px=1920, on_page=False)
ENDINGS = {"jpeg": "jpg", "webp": "webp", "avif": "avif", "png": "png"}


def rendition(shot: str, channel: Channel, width: int = 0, height: int = 0) -> Rendition:
    width, height = width or channel.width_px, height or channel.height_px
    files = []
    for kind in channel.formats:
        for wide in sorted({480, width} if width > 600 else {width}):
            ending = "" if wide == width else f"-{wide}"
            high = round(height * wide / width)
            files.append(
                File(f"{channel.name}/{shot}{ending}.{ENDINGS[kind]}", kind, wide, high, 1000 * wide)
            )
    return Rendition(channel, tuple(files))


def shot_files(shot: Shot, *channels: Channel) -> ShotFiles:
    return ShotFiles(shot, words_for(RECIPE, shot), tuple(rendition(shot.name, c) for c in channels))


SHOTS = [
    shot_files(
        Shot(
            name="three-bowls", role="main", title="Three <bowls>", caption=AWKWARD,
            alt_text='Three "green" soups & a <spoon>.',
        ),
        WIDE, CLASSIC, SQUARE, VERTICAL,
    ),
    shot_files(Shot(name="pour", role="step", alt_text="A hand pours pale green soup."), WIDE, SQUARE),
    shot_files(Shot(name="detail", role="detail"), SQUARE),
    shot_files(Shot(name="story", role="extra", alt_text="A glass by the window."), VERTICAL),
]  # fmt: skip
