"""What is wanted today: recipe, shots, channels, who made it and under which licence."""

from dataclasses import dataclass

from plateside.model.quantity import quantity as q

ANGLES = ("overhead", "three-quarter", "straight-on")


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step of the recipe."""

    name: str = q("what is done", example='name = "toast crumbs"')
    takes: str = q("how long it takes, ISO 8601", default="PT5M", example='takes = "PT8M"')
    hands: bool = q("whether it needs your hands the whole time", default=True)
    looks_fresh_for: str = q("how long the result looks right, ISO 8601; empty when it keeps", default="")
    text: str = q("the sentence the reader gets; left out, the name", default="")
    for_shot: str = q(
        "the one shot it is done for, as a cut or a pour on the set; empty: for every plate", default=""
    )


@dataclass(frozen=True, kw_only=True)
class Recipe:
    """The dish and how it is made."""

    title: str = q("the dish's name", example='title = "Chilled cucumber, grape and almond soup"')
    description: str = q("one or two sentences for the page", default="")
    serves: str = q("how much it makes", default="", example='serves = "4 bowls"')
    cuisine: str = q("kitchen it comes from", default="")
    course: str = q("starter, main, dessert ...", default="")
    keywords: tuple[str, ...] = q("words people search by", factory=tuple)
    ingredients: tuple[str, ...] = q("one line each", factory=tuple)
    allergens: tuple[str, ...] = q("every allergen on the set, garnish included", factory=tuple)
    steps: tuple[Step, ...] = q("one [[recipe.steps]] for each", factory=tuple)
    perishable: bool = q("whether the food must not stand out (the holding clock runs)", default=True)


@dataclass(frozen=True, kw_only=True)
class PlacedBoard:
    """A board placed for a shot. Sides are seen from the camera."""

    board: str = q("which board of the studio", example='board = "white"')
    side: str = q(
        "where it stands, seen from the camera", words=("left", "right", "far", "near"), default="right"
    )
    distance_m: float = q("from the middle of the dish to the board", unit="m", low=0.05, high=3, default=0.4)


@dataclass(frozen=True, kw_only=True)
class Shot:
    """One wanted picture."""

    name: str = q("short name, unique; letters, digits and hyphens", example='name = "three-bowls"')
    angle: str = q("how the camera looks at the dish", words=ANGLES, default="three-quarter")
    elevation_deg: float | None = q(
        "camera's elevation above the dish; left out: 90, 45 or 5 by the angle",
        unit="deg",
        low=0,
        high=90,
        default=None,
    )
    camera_faces_deg: float = q(
        "where the camera looks, clockwise from straight at the front (window) wall, seen from above: "
        "0 the window is behind the dish, 90 the window is on the left, 270 on the right, 180 behind you",
        unit="deg",
        low=0,
        high=360,
        default=90.0,
    )
    frame_width_mm: float = q(
        "what must be in the frame at the dish, side to side", unit="mm", low=20, high=4000, default=450.0
    )
    frame_height_mm: float = q(
        "what must be in the frame, bottom to top", unit="mm", low=20, high=4000, default=300.0
    )
    room_percent: float | None = q(
        "instead of a frame size: the dish with this much room, both sides together (30: a frame 1.3 dishes wide)",
        unit="%",
        low=0,
        high=400,
        default=None,
        example="room_percent = 30",
    )
    orientation: str = q(
        "upright or lying frame; auto chooses from what must be in it and the channels",
        words=("auto", "upright", "lying"),
        default="auto",
    )
    sharp: str = q(
        "what must be sharp: the whole plane, the front item only, or the hero front to back",
        words=("plane", "front", "hero"),
        default="hero",
    )
    dish_width_mm: float = q("width of the hero", unit="mm", low=10, high=1500, default=200.0)
    dish_height_mm: float = q("height of the hero", unit="mm", low=0, high=800, default=60.0)
    background_gap_mm: float = q(
        "from the hero to what is behind it", unit="mm", low=0, high=10000, default=500.0
    )
    background_blur_percent: float | None = q(
        "how far the background should melt, blur disc as share of frame width",
        unit="%",
        low=0,
        high=50,
        default=None,
    )
    moves: str = q(
        "what moves",
        words=("nothing", "hand", "silk pour", "frozen drops", "steam", "falling sugar"),
        default="nothing",
    )
    person: bool = q("whether you or your hands are in the picture", default=False)
    release: bool = q(
        "whether whoever can be recognised in the picture has agreed in writing (or it is you); "
        "without it a picture with a person is held back from delivery",
        default=False,
    )
    fall_height_mm: float = q(
        "how far what is poured or sifted falls", unit="mm", low=0, high=1500, default=100.0
    )
    spot: str = q("which table spot; empty: the first", default="")
    camera: str = q("which camera; empty: the first", default="")
    lens: str = q("which lens; empty: the tool weighs them all", default="")
    support: str = q("which support; empty: the tool chooses", default="")
    surface: str = q("which surface; empty: the first", default="")
    props: tuple[str, ...] = q("props in the picture, back to front", factory=tuple)
    boards: tuple[PlacedBoard, ...] = q("boards placed for this shot", factory=tuple)
    stand_in: str = q(
        "shape drawn in the test picture",
        words=("soup", "tart", "stack", "loaf", "drink", "noodles", "leaves", "buns"),
        default="soup",
    )
    glossy: bool = q("whether the dish mirrors its surroundings (soup, glaze, glass)", default=False)
    fill_stops: float | None = q(
        "how much darker the shadow side may be", unit="stops", low=0, high=6, default=None
    )
    deliberate: tuple[str, ...] = q(
        "what is meant, so that nobody nags: silhouette, high key, blur, dark; unmatched: it may differ from the "
        "series; fewer pixels: it may be smaller than its channels ask; left out: the delivery goes without it",
        words=("silhouette", "high key", "blur", "dark", "unmatched", "fewer pixels", "left out"),
        factory=tuple,
    )
    from_time: str = q("not before, local time such as 12:30; empty: any", default="")
    to_time: str = q("not after", default="")
    minutes: float = q("how long it takes to set, shoot and clear", unit="min", low=1, high=600, default=20.0)
    irreversible: bool = q("whether the dish is not whole afterwards (cut, poured over)", default=False)
    channels: tuple[str, ...] = q("channels it goes to; empty: all", factory=tuple)
    title: str = q("title of the picture", default="")
    caption: str = q("one sentence under the picture", default="")
    alt_text: str = q("what the picture shows, for those who cannot see it (aim for 125 letters)", default="")
    role: str = q(
        "what the picture is on the page", words=("main", "step", "detail", "extra"), default="extra"
    )

    @property
    def left_out(self) -> bool:
        """Whether it was set aside on purpose: it is not delivered, and nothing waits for it."""
        return "left out" in self.deliberate

    @property
    def elevation(self) -> float:
        """Elevation of the camera above the dish [deg]."""
        if self.elevation_deg is not None:
            return self.elevation_deg
        return {"overhead": 90.0, "three-quarter": 45.0, "straight-on": 5.0}[self.angle]


@dataclass(frozen=True, kw_only=True)
class Channel:
    """A place where a picture goes, told by shape and size."""

    name: str = q("short name, letters, digits and hyphens", example='name = "page-wide"')
    width_px: int = q("width delivered", unit="px", low=16, high=12000, default=1600)
    height_px: int = q("height delivered", unit="px", low=16, high=12000, default=900)
    formats: tuple[str, ...] = q(
        "file formats", words=("jpeg", "webp", "avif", "png"), factory=lambda: ("jpeg", "webp")
    )
    largest_kb: float | None = q(
        "largest file, when there is a limit", unit="kB", low=5, high=50000, default=None
    )
    text_space: str = q(
        "where text will stand: this third stays empty",
        words=("none", "top", "bottom", "left", "right"),
        default="none",
    )
    on_page: bool = q("whether it is part of the recipe page's markup", default=True)


@dataclass(frozen=True, kw_only=True)
class Creator:
    """Who made the pictures, and what others may do with them."""

    name: str = q("your name", example='name = "Ines Valadao"')
    credit: str = q("credit line; left out, the name", default="")
    copyright: str = q("copyright notice; left out, it is made from year and name", default="")
    licence_url: str = q("page that states the licence (Web Statement of Rights)", default="")
    acquire_url: str = q("page where a licence can be had", default="")
    usage_terms: str = q("usage terms in a sentence", default="")
    page_url: str = q("address of the recipe's page, without the file names", default="")
    language: str = q("language of the words, as en, pt-PT ...", default="en")


@dataclass(frozen=True, kw_only=True)
class Shoot:
    """The whole of shoot.toml."""

    date: str = q("the day, as a date", example='date = "2027-07-15"')
    recipe: Recipe = q("the dish")
    creator: Creator = q("who made it")
    studio: str = q("path of the studio file, from here", default="studio.toml")
    frames: str = q("folder where the frames land, from here", default="frames")
    sky: str = q("sky to plan for", words=("clear", "hazy", "broken", "overcast"), default="overcast")
    from_time: str = q("start of the working day, local time", default="09:00")
    to_time: str = q("end of the working day", default="18:00")
    shots: tuple[Shot, ...] = q("one [[shots]] for each wanted picture", factory=tuple)
    channels: tuple[Channel, ...] = q("one [[channels]] for each", factory=tuple)
