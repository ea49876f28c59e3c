"""What is wanted today: recipe, shots, channels, who made it and under which licence."""

from dataclasses import dataclass

from plateside.model.quantity import quantity as q

ANGLES = ("overhead", "three-quarter", "straight-on")


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step of the recipe."""

    name: str = q("what you do", label="Step", example='name = "toast crumbs"')
    takes: str = q(
        "how long it takes, as PT8M (8 minutes) or PT1H30M",
        label="Takes",
        default="PT5M",
        example='takes = "PT8M"',
    )
    hands: bool = q("whether it needs your hands the whole time", label="Needs your hands", default=True)
    looks_fresh_for: str = q(
        "how long it looks fresh, as PT20M; empty when it keeps", label="Looks fresh for", default=""
    )
    text: str = q("the sentence your readers get; left out, the step's name", label="Instruction", default="")
    for_shot: str = q(
        "the one shot it is done for, such as a cut or a pour on the set",
        empty="for every plate",
        label="Only for the shot",
        default="",
    )


@dataclass(frozen=True, kw_only=True)
class Recipe:
    """The dish and how it is made."""

    title: str = q(
        "the dish's name", label="Dish", example='title = "Chilled cucumber, grape and almond soup"'
    )
    description: str = q("one or two sentences for the page", default="")
    serves: str = q("how much it makes", default="", example='serves = "4 bowls"')
    cuisine: str = q("cuisine, as Portuguese", label="Cuisine", default="")
    course: str = q("starter, main, dessert ...", default="")
    keywords: tuple[str, ...] = q("words people search for", label="Keywords", factory=tuple)
    ingredients: tuple[str, ...] = q("one line each", factory=tuple)
    allergens: tuple[str, ...] = q("every allergen on the set, garnish included", factory=tuple)
    steps: tuple[Step, ...] = q("one [[recipe.steps]] for each", factory=tuple)
    perishable: bool = q(
        "whether the food must not stay out for long; if so, its time out is counted",
        label="Perishable",
        default=True,
    )


@dataclass(frozen=True, kw_only=True)
class PlacedBoard:
    """A board placed for a shot. Sides are seen from the camera."""

    board: str = q("which board of the studio", example='board = "white"')
    side: str = q(
        "where it goes, seen from the camera",
        label="Side, from the camera",
        words=("left", "right", "far", "near"),
        default="right",
    )
    distance_m: float = q(
        "from the middle of the dish to the board",
        label="From the dish",
        unit="m",
        low=0.05,
        high=3,
        default=0.4,
    )


@dataclass(frozen=True, kw_only=True)
class Shot:
    """One wanted picture."""

    name: str = q(
        "short name, different for each shot; letters, digits and hyphens", example='name = "three-bowls"'
    )
    angle: str = q(
        "how the camera looks at the dish", label="Camera angle", words=ANGLES, default="three-quarter"
    )
    elevation_deg: float | None = q(
        "how steeply the camera looks down: 90 straight down, 0 level; left out, 90, 45 or 5 by the angle",
        label="Camera elevation",
        unit="deg",
        low=0,
        high=90,
        default=None,
    )
    camera_faces_deg: float = q(
        "which way the camera looks, clockwise from the front (window) wall, seen from above: "
        "0 the window is behind the dish, 90 on the left, 270 on the right, 180 behind you",
        label="Camera faces",
        unit="deg",
        low=0,
        high=360,
        default=90.0,
    )
    frame_width_mm: float = q(
        "what must be in frame at the dish, side to side",
        label="Frame width",
        unit="mm",
        low=20,
        high=4000,
        default=450.0,
    )
    frame_height_mm: float = q(
        "what must be in frame, bottom to top", unit="mm", low=20, high=4000, default=300.0
    )
    space_percent: float | None = q(
        "instead of a frame size: space around the dish, both sides together (30: a frame 1.3 dishes wide)",
        label="Space around the dish",
        unit="%",
        low=0,
        high=400,
        default=None,
        example="space_percent = 30",
    )
    orientation: str = q(
        "landscape or portrait; auto decides by what must be in frame and by the channels",
        label="Orientation",
        words=("auto", "portrait", "landscape"),
        default="auto",
    )
    sharp: str = q(
        "what must be sharp: the whole plane, the front item only, or the hero front to back",
        label="Must be sharp",
        words=("plane", "front", "hero"),
        default="hero",
    )
    dish_width_mm: float = q(
        "width of the hero", label="Hero width", unit="mm", low=10, high=1500, default=200.0
    )
    dish_height_mm: float = q(
        "height of the hero", label="Hero height", unit="mm", low=0, high=800, default=60.0
    )
    background_gap_mm: float = q(
        "from the hero to what is behind it",
        label="Hero to background",
        unit="mm",
        low=0,
        high=10000,
        default=500.0,
    )
    background_blur_percent: float | None = q(
        "how soft the background gets: size of a blurred point, in percent of the frame width",
        label="Background blur",
        unit="%",
        low=0,
        high=50,
        default=None,
    )
    moves: str = q(
        "what moves",
        label="What moves",
        words=("nothing", "hand", "silk pour", "frozen drops", "steam", "falling sugar"),
        default="nothing",
    )
    person: bool = q(
        "whether you or your hands are in the picture", label="Person in the picture", default=False
    )
    model_release: bool = q(
        "whether everyone recognisable in it has signed a model release (or it is you); without it a picture with a "
        "person is held back",
        label="Model release signed",
        default=False,
    )
    fall_height_mm: float = q(
        "how far what you pour or sift falls", label="Fall height", unit="mm", low=0, high=1500, default=100.0
    )
    spot: str = q("which table spot", empty="the first", label="Table spot", default="")
    camera: str = q("which camera", empty="the first", default="")
    lens: str = q("which lens", empty="the one that suits the shot best", default="")
    support: str = q("which support", empty="the one that suits the shot best", default="")
    surface: str = q("which surface", empty="the first", default="")
    props: tuple[str, ...] = q("props in the picture, back to front", factory=tuple)
    boards: tuple[PlacedBoard, ...] = q("boards placed for this shot", factory=tuple)
    stand_in: str = q(
        "shape that stands in for the dish in the planned picture",
        label="Shape of the stand-in",
        words=("soup", "tart", "stack", "loaf", "drink", "noodles", "leaves", "buns"),
        default="soup",
    )
    glossy: bool = q(
        "whether the dish mirrors what is around it (soup, glaze, glass)", label="Shiny dish", default=False
    )
    fill_stops: float | None = q(
        "how many stops darker the shadow side may be (1 is soft, 3 is hard)",
        label="Shadows at most",
        unit="stops",
        low=0,
        high=6,
        default=None,
    )
    polariser_stops: float | None = q(
        "how much light the polariser on the lens takes; read it on the polariser, about 1 to 2",
        empty="no polariser",
        label="Polariser takes",
        unit="stops",
        low=0.3,
        high=3,
        default=None,
    )
    extras: tuple[str, ...] = q(
        "frames taken besides. clean frame: the set without food and hands, to mend from later; grey card: the card "
        "where the dish will be, for colour and brightness",
        label="Frames besides",
        words=("clean frame", "grey card"),
        factory=tuple,
    )
    least_lx: float | None = q(
        "the least light that you want for it, level, on the table",
        empty="what its settings need",
        label="Light at least",
        unit="lx",
        low=0.01,
        high=200000,
        default=None,
    )
    direct_sun: bool = q(
        "whether hours with sun on the dish are good as well", label="Direct sun is welcome", default=False
    )
    deliberate: tuple[str, ...] = q(
        "what you do on purpose, so that it does not count as a fault; unmatched: it may differ from the series; "
        "fewer pixels: it may be smaller than its channels need; left out: the delivery goes without it",
        label="On purpose",
        words=("silhouette", "high key", "blur", "dark", "unmatched", "fewer pixels", "left out"),
        factory=tuple,
    )
    date: str = q(
        "the day it is taken, where the shoot has several",
        empty="the shoot's day",
        label="Its day",
        default="",
    )
    from_time: str = q("not before, local time such as 12:30", empty="any", label="Not before", default="")
    to_time: str = q("not after", empty="any", label="Not after", default="")
    minutes: float = q(
        "how long you need to set up, shoot and clear",
        label="Time it takes",
        unit="min",
        low=1,
        high=600,
        default=20.0,
    )
    irreversible: bool = q(
        "whether the dish is spoilt by this shot (cut, poured over)", label="Only one go", default=False
    )
    channels: tuple[str, ...] = q("channels it goes to", empty="all", factory=tuple)
    title: str = q("title of the picture", default="")
    caption: str = q("one sentence under the picture", default="")
    alt_text: str = q(
        "what the picture shows, for people who cannot see it (aim for 125 characters)",
        label="Alt text",
        default="",
    )
    role: str = q(
        "what the picture is for on the page",
        label="Role on the page",
        words=("main", "step", "detail", "extra"),
        default="extra",
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
    """A place where a picture goes, by shape and size."""

    name: str = q("short name, letters, digits and hyphens", example='name = "page-wide"')
    width_px: int = q(
        "width of the delivered picture", label="Width", unit="px", low=16, high=12000, default=1600
    )
    height_px: int = q(
        "height of the delivered picture", label="Height", unit="px", low=16, high=12000, default=900
    )
    formats: tuple[str, ...] = q(
        "file formats",
        label="File formats",
        words=("jpeg", "webp", "avif", "png"),
        factory=lambda: ("jpeg", "webp"),
    )
    largest_kb: float | None = q(
        "largest file size, when there is a limit",
        label="Largest file",
        unit="kB",
        low=5,
        high=50000,
        default=None,
    )
    text_space: str = q(
        "where text goes: this third stays empty",
        label="Space for text",
        words=("none", "top", "bottom", "left", "right"),
        default="none",
    )
    on_page: bool = q(
        "whether it is listed in the recipe page's data", label="On the recipe page", default=True
    )


@dataclass(frozen=True, kw_only=True)
class Creator:
    """Who made the pictures, and what others may do with them."""

    name: str = q("your name", example='name = "Ines Valadao"')
    credit: str = q("credit line; left out, your name", label="Credit line", default="")
    copyright: str = q(
        "copyright notice; left out, made from the year and your name", label="Copyright notice", default=""
    )
    licence_url: str = q(
        "web page with your licence (Web Statement of Rights)", label="Licence page", default=""
    )
    acquire_url: str = q(
        "web page where people can ask for a licence", label="Where to get a licence", default=""
    )
    usage_terms: str = q("your usage terms, in a sentence", label="Usage terms", default="")
    page_url: str = q(
        "web address of the recipe page, without the file names", label="Recipe page", default=""
    )
    language: str = q("language of your captions and texts, as en or pt-PT", label="Language", default="en")


@dataclass(frozen=True, kw_only=True)
class Shoot:
    """The whole of shoot.toml."""

    date: str = q("the day of the shoot", label="Day", example='date = "2027-07-15"')
    recipe: Recipe = q("the dish")
    creator: Creator = q("who made it")
    studio: str = q("where the studio file is, from this folder", label="Studio file", default="studio.toml")
    frames: str = q(
        "folder where the camera's files arrive, from this folder", label="Frames folder", default="frames"
    )
    second_disk: str = q(
        "folder on a second disk where each original is copied as it lands, and read back",
        empty="originals are on one disk only",
        label="Second disk",
        default="",
    )
    memory_card: str = q(
        "folder of the camera's memory card: its photographs come into the frames folder when it is put in",
        empty="none",
        label="Memory card",
        default="",
    )
    sky: str = q(
        "the day is planned with the light of this sky",
        label="Sky to plan for",
        words=("clear", "hazy", "broken", "overcast"),
        default="overcast",
    )
    from_time: str = q("start of your working day, local time", label="Start of the day", default="09:00")
    to_time: str = q("end of your working day", label="End of the day", default="18:00")
    shots: tuple[Shot, ...] = q("one [[shots]] for each wanted picture", factory=tuple)
    channels: tuple[Channel, ...] = q("one [[channels]] for each", factory=tuple)

    def day_of(self, shot: Shot) -> str:
        """The day on which a shot is taken, as 2027-07-15."""
        return shot.date or self.date

    @property
    def days(self) -> tuple[str, ...]:
        """The days of its shots, in order; its own where it has no shots."""
        return tuple(sorted({self.day_of(s) for s in self.shots})) or (self.date,)
