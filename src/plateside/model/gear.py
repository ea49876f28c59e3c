"""What you shoot with and on: cameras, lenses, supports, surfaces and props."""

from dataclasses import dataclass

from plateside.model.quantity import quantity as q


@dataclass(frozen=True, kw_only=True)
class Camera:
    """A camera body."""

    name: str = q("what you call it", example='name = "the camera"')
    sensor_width_mm: float = q("along the sensor's long side", unit="mm", low=3, high=60, default=23.5)
    sensor_height_mm: float = q("along the sensor's short side", unit="mm", low=2, high=45, default=15.6)
    pixels_wide: int = q("along the long side", unit="px", low=640, high=20000, default=6000)
    pixels_high: int = q("along the short side", unit="px", low=480, high=20000, default=4000)
    base_iso: int = q("lowest ISO that is not an extended setting", low=25, high=3200, default=100)
    highest_iso: int = q("highest ISO whose noise you accept", low=100, high=204800, default=3200)
    slowest_s: float = q(
        "slowest shutter without bulb", label="Slowest shutter", unit="s", low=0.01, high=900, default=30.0
    )
    fastest_s: float = q(
        "fastest shutter", label="Fastest shutter", unit="s", low=0.00001, high=0.1, default=1 / 4000
    )
    weight_kg: float = q(
        "with battery and memory card", label="Weight", unit="kg", low=0.05, high=5, default=0.55
    )
    full_well_electrons: int = q(
        "electrons one pixel holds at base ISO; used to estimate noise",
        label="Sensor full well, electrons",
        low=1000,
        high=500000,
        default=40000,
    )
    read_noise_electrons: float = q(
        "noise of reading one pixel at base ISO; used to estimate noise",
        label="Sensor read noise, electrons",
        low=0.5,
        high=50,
        default=4.0,
    )
    exif_model: str = q(
        "the model name the camera writes into its files, to tell cameras apart",
        label="Model name in its files",
        default="",
    )
    clock_offset_s: float = q(
        "true time minus the camera's clock",
        label="Clock correction",
        unit="s",
        low=-1e9,
        high=1e9,
        default=0.0,
    )
    meter_factor: float = q(
        "measured by Plateside: light read from the grey card, divided by the true light",
        label="Grey card correction",
        low=0.2,
        high=5,
        default=1.0,
    )


@dataclass(frozen=True, kw_only=True)
class Lens:
    """A lens; a zoom has two focal lengths."""

    name: str = q("what you call it", example='name = "35"')
    focal_length_mm: float = q(
        "focal length, or the short end of a zoom",
        unit="mm",
        low=4,
        high=1200,
        example="focal_length_mm = 35",
    )
    focal_length_to_mm: float | None = q(
        "long end of a zoom", label="Long end of the zoom", unit="mm", low=4, high=1200, default=None
    )
    widest_aperture: float = q(
        "f-number of its widest aperture (at the short end of a zoom), as 1.8",
        label="Widest aperture",
        low=0.7,
        high=32,
        default=1.8,
    )
    smallest_aperture: float = q(
        "f-number of its smallest aperture, as 16",
        label="Smallest aperture",
        low=4,
        high=64,
        default=16.0,
    )
    closest_focus_m: float = q(
        "closest focus, measured from the sensor", unit="m", low=0.01, high=10, default=0.3
    )
    pupil_magnification: float = q(
        "exit pupil divided by entrance pupil; leave it at 1 unless you know it",
        label="Pupil magnification",
        low=0.2,
        high=5,
        default=1.0,
    )
    weight_kg: float = q("its weight", label="Weight", unit="kg", low=0.02, high=5, default=0.3)
    length_mm: float = q(
        "from the sensor to the front of the lens, for its shadow and its clearance",
        label="Length in front of the sensor",
        unit="mm",
        low=20,
        high=600,
        default=100.0,
    )


@dataclass(frozen=True, kw_only=True)
class Support:
    """What holds the camera: a tripod, a tripod with an overhead arm, or hands."""

    name: str = q("what you call it", example='name = "tripod"')
    kind: str = q("what it is", words=("tripod", "arm", "hand"), default="tripod")
    lowest_m: float = q(
        "lowest lens height", label="Lowest lens height", unit="m", low=0, high=3, default=0.4
    )
    highest_m: float = q(
        "highest lens height", label="Highest lens height", unit="m", low=0.1, high=5, default=1.6
    )
    arm_reach_m: float = q(
        "from the column to the camera, along the arm",
        label="Arm reach",
        unit="m",
        low=0,
        high=3,
        default=0.0,
    )
    weight_kg: float = q(
        "tripod without arm, head and camera", label="Weight", unit="kg", low=0.1, high=30, default=2.0
    )
    arm_weight_kg: float = q(
        "the arm alone", label="Weight of the arm", unit="kg", low=0, high=20, default=0.0
    )
    feet_radius_m: float = q(
        "from the column to a foot, legs spread",
        label="Column to a foot",
        unit="m",
        low=0.05,
        high=2,
        default=0.45,
    )
    load_limit_kg: float | None = q(
        "the most it may carry, from its maker",
        label="Load limit",
        unit="kg",
        low=0.1,
        high=100,
        default=None,
    )
    head_weight_kg: float = q(
        "head and plate", label="Weight of the head", unit="kg", low=0, high=5, default=0.4
    )


@dataclass(frozen=True, kw_only=True)
class Surface:
    """A tabletop, cloth or stone that the dish stands on."""

    name: str = q("what you call it", example='name = "pale blue-grey wood"')
    width_m: float = q("its width", unit="m", low=0.1, high=5, default=0.9)
    depth_m: float = q("its depth", unit="m", low=0.1, high=5, default=0.6)
    colour: str = q(
        "its colour, as a # and six hexadecimal digits", default="#b8b4ac", example='colour = "#a9b4ba"'
    )
    material: str = q(
        "what it looks like", words=("wood", "stone", "linen", "paper", "metal", "tile"), default="wood"
    )


@dataclass(frozen=True, kw_only=True)
class Prop:
    """A plate, bowl, glass, spoon, cloth or other small thing."""

    name: str = q("what you call it", example='name = "small bowl"')
    kind: str = q(
        "what it is",
        words=("plate", "bowl", "chopping board", "glass", "cutlery", "linen", "pan", "jar", "other"),
        default="other",
    )
    width_mm: float = q("its width", unit="mm", low=5, high=1500, default=200.0)
    height_mm: float = q("its height", unit="mm", low=0, high=1000, default=30.0)
    colour: str = q("its colour, as a # and six hexadecimal digits", default="#f2efe9")
    gloss: str = q("how much it shines", label="Finish", words=("matt", "satin", "glossy"), default="satin")
