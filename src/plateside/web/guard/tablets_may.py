"""What a paired tablet may ask for, press and change: lists. What stands on none of them is done at the laptop.

A tablet looks at everything of the open shoot, presses decisions, changes the words and numbers of the plan and the
studio, adds photographs (and replaces none), and begins what is only shown (light, plans, planned pictures, what would
be chosen). At the laptop: where
files are and what they say line by line, what is made for others (finished pictures, delivery, packages), who made
the pictures and who is in them, other shoots, other tablets.

    ROUTES   method and path, as the app has them; a new route is closed until it is written here
    FIELDS   of the two settings files; a new field is closed until it is written here
    JOBS     kinds of work that a tablet may stop: those that it may begin
"""

from collections.abc import Awaitable, Callable, Mapping, Sequence

from starlette.routing import BaseRoute, Match
from starlette.types import ASGIApp, Receive, Scope, Send

from plateside.web.asker import STRANGER, asker
from plateside.words.serving import LAPTOP_ONLY, OTHER_FOLDER

_LOOKED_AT = """
/ /events /work /work/{job:int} /static /standing /pair /settings/{which} /frames/{frame}/{size}.jpg
/studio /studio/version /studio/worth /studio/plan /studio/card
/light /light/day /light/moment /light/week /light/what-ifs /light/year /light/picture/{key}.jpg
/plan /plan/day /plan/versions /plan/picture/{key}/{quality}.jpg /plan/call-sheet /plan/call-sheet.pdf
/plan/card/{shot} /plan/paper.css /plan/set-card-{paper}.pdf
/set /set/now /set/marks/{frame} /set/changed/{frame} /set/card/{frame} /set/light/{shot} /set/layers/{shot}
/set/clearing
/set/closer/{frame} /set/closer/{frame}/size /set/closer/{frame}/levels
/set/closer/{frame}/{column:int}-{row:int}.jpg /set/closer/{frame}/{which}.png
/set/closer/{frame}/{which}/{column:int}-{row:int}.png /set/layout/{shot} /set/layout/{shot}/{key}.png
/choose /choose/sheets /choose/strips /choose/strips/{name}
/finish /finish/standing /finish/pictures/{shot}/{size}.jpg /finish/plain/{shot}/{size}.jpg /finish/hand/{shot}.jpg
/finish/files/{path:path} /deliver /deliver/standing /deliver/crops/{shot} /deliver/files/{path:path}
"""
_PRESSED = """
/pair /press /press/undo /settings/{which} /settings/{which}/undo /work/{job:int}/stop
/studio/card /studio/bearing /studio/fit /light/year /light/picture /light/plan /plan/lux /plan/picture /plan/ready
/set/lamp-off
/set/shot /set/add /set/add/{key} /set/add/{key}/stop
/choose/strips /choose/pictures /choose/proposal /finish/square /deliver/crop /deliver/words
"""
ROUTES = frozenset(
    {("GET", path) for path in _LOOKED_AT.split()} | {("POST", path) for path in _PRESSED.split()}
)

JOBS = frozenset(
    {"studio.fit", "light.year", "light.picture", "plan.picture", "frames.strips", "frames.thumbnails",
     "results.choose"}
)  # fmt: skip


def _of(tables: Mapping[str, str]) -> frozenset[str]:
    """'shots' and 'shots.name' from {"shots": "name"}; '' is the top of the file."""
    fields = {
        f"{table}.{name}" if table else name for table, names in tables.items() for name in names.split()
    }
    return frozenset(fields | {table for table in tables if table})


FIELDS: Mapping[str, frozenset[str]] = {
    "shoot": _of({
        "": "date sky from_time to_time",
        "recipe": "title description serves cuisine course keywords ingredients allergens perishable",
        "recipe.steps": "name takes hands looks_fresh_for text for_shot",
        "shots": "name angle elevation_deg camera_faces_deg frame_width_mm frame_height_mm space_percent orientation "
        "sharp dish_width_mm dish_height_mm background_gap_mm background_blur_percent moves fall_height_mm spot "
        "camera lens support surface props stand_in glossy fill_stops deliberate date from_time to_time minutes "
        "irreversible channels title caption alt_text role polariser_stops extras least_lx direct_sun",
        "shots.boards": "board side distance_m",
    }),
    "studio": _of({
        "room": "width_m depth_m height_m front_bearing_deg floor_reflectance ceiling_reflectance front_reflectance "
        "right_reflectance back_reflectance left_reflectance",
        "windows": "name bearing_deg width_m height_m sill_m from_left_m glass_transmittance dirt_factor frame_share "
        "reveal_depth_m overhang_depth_m overhang_above_m floor_above_ground_m ground_reflectance",
        "windows.opposite": "name bearing_from_deg bearing_to_deg distance_m top_above_ground_m reflectance "
        "see_through",
        "spots": "name from_left_m from_front_m height_m table_width_m table_depth_m table_reflectance",
        "boards": "name width_m height_m reflectance",
        "diffusers": "name diffuse_transmittance clear_transmittance reflectance window covers_share",
        "furniture": "name from_left_m from_front_m width_m depth_m height_m bottom_m reflectance",
        "cameras": "name sensor_width_mm sensor_height_mm pixels_wide pixels_high base_iso highest_iso slowest_s "
        "fastest_s weight_kg full_well_electrons read_noise_electrons exif_model clock_offset_s meter_factor",
        "lenses": "name focal_length_mm focal_length_to_mm widest_aperture smallest_aperture closest_focus_m "
        "pupil_magnification weight_kg length_mm",
        "supports": "name kind lowest_m highest_m arm_reach_m weight_kg arm_weight_kg feet_radius_m load_limit_kg "
        "head_weight_kg",
        "surfaces": "name width_m depth_m colour material",
        "props": "name kind width_mm height_mm colour gloss",
        "readings": "at spot illuminance_lx sky source evidence",
        "fit": "date light_factor light_factor_spread_stops reflectance_factor skyline_lift_deg "
        "skyline_lift_spread_deg readings",
    }),
}  # fmt: skip
"""Not on it: studio, frames, second_disk, memory_card (where files are), creator (whose pictures, and what others may
do with them), channels (where they go), shots.person and shots.model_release (what holds a picture back), place."""


def route_of(routes: Sequence[BaseRoute], scope: Scope) -> str:
    """The path, as the app has it, of the route that would answer; '' when none would.

    The app's own routes are asked in the app's own order: what is allowed is what then runs.
    """
    for route in routes:
        if route.matches(scope)[0] is Match.FULL:
            return str(getattr(route, "path", ""))
    return ""


def may_ask(routes: Sequence[BaseRoute], scope: Scope) -> bool:
    """Whether a paired tablet may make this request."""
    method = "GET" if scope["method"] == "HEAD" else scope["method"]
    return (method, route_of(routes, scope)) in ROUTES


class TabletsMay:
    """Lets the desk through, and of what a tablet (or one that pairs) asks what is listed."""

    def __init__(
        self,
        app: ASGIApp,
        elsewhere: Callable[[], bool],
        refused: Callable[[Scope, str], ASGIApp],
    ) -> None:
        """Wrap the app.

        elsewhere  says whether the shoot's files are now where nobody at the laptop put them
        refused    makes the answer to a refused request, from a sentence
        """
        self.app, self.elsewhere, self.refused = app, elsewhere, refused

    def __call__(self, scope: Scope, receive: Receive, send: Send) -> Awaitable[None]:
        """Answer, or let the app answer."""
        if scope["type"] != "http":
            return self.app(scope, receive, send)
        asker.set(str(scope.get("state", {}).get("who", STRANGER)))
        if scope.get("state", {}).get("is_desk", False):
            return self.app(scope, receive, send)
        if not may_ask(scope["app"].routes, scope):
            return self.refused(scope, LAPTOP_ONLY)(scope, receive, send)
        if scope["state"].get("is_paired") and not scope["path"].startswith("/static/") and self.elsewhere():
            return self.refused(scope, OTHER_FOLDER)(scope, receive, send)
        return self.app(scope, receive, send)
