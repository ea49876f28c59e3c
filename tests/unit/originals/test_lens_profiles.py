"""Lens profiles: which one, and that its table is lensfun's own. Ruler: lensfunpy's maps and shading."""

from typing import Any

import numpy as np
import pytest

from plateside.files import lens_profiles
from plateside.files.lens_profiles import NotFound, Profile, profile_of
from plateside.finish.lens_facts import NO_CAMERA, NO_EXTRA, NO_LENS, SEVERAL, UNKNOWN
from plateside.model.frame import Settings
from tests.synthetic.lens_names import takes_several, two_versions

lensfunpy = pytest.importorskip("lensfunpy")
SIZE = (3000, 2000)


def of(
    make: str, model: str, lens: str, focal: float, f_number: float | None, away: float | None = None
) -> Settings:
    return Settings(
        camera_make=make, camera_model=model, lens_model=lens, focal_length_mm=focal, f_number=f_number,
        focus_distance_m=away,
    )  # fmt: skip


def of_database(lens: Any, camera: Any, focal: float, f_number: float) -> Settings:
    return of(camera.maker, camera.model, lens.model, focal, f_number, 0.8)


def cases() -> list[Settings]:
    """A zoom, a prime, a macro lens and whatever else has all three faults, of each mount that has one."""
    base, found, seen = lensfunpy.Database(), [], set[str]()
    for lens in base.lenses:
        mounts = set(lens.mounts) - seen
        whole = lens.calib_distortion and lens.calib_tca and lens.calib_vignetting
        if not mounts or not whole or lens.type != lensfunpy.LensType.RECTILINEAR:
            continue
        for camera in base.cameras:
            if (
                camera.mount in mounts
                and abs(camera.crop_factor - lens.crop_factor) < 0.02
                and not camera.mount[0].islower()
            ):
                shade = lens.calib_vignetting[0]
                found.append(of_database(lens, camera, shade.focal, shade.aperture))
                seen.add(camera.mount)
                break
    return found[:8]


@pytest.mark.parametrize("settings", cases(), ids=lambda s: s.lens_model)
def test_the_table_is_lensfuns_own(settings: Settings) -> None:
    """Within 0.3 px at 24 megapixels (here half of it) of lensfun's map of the whole picture, and of the places that it
    tells one by one, which are as far apart from each other (`bench lenses`); within 0.005 stop of its shading. One
    place in a thousand of the map may be further off: it divides in 12 bits, and scatters where a lens bends much."""
    profile = profile_of(settings)
    if isinstance(profile, NotFound):  # the same name more than once: offered, never taken
        assert profile.code in (SEVERAL, NO_CAMERA)
        return
    lens = profile.lens_for(SIZE)
    flags = lensfunpy.ModifyFlags
    ruler = lensfunpy.Modifier(profile.lens, profile.crop, *SIZE)
    ruler.initialize(
        settings.focal_length_mm, settings.f_number, settings.focus_distance_m, scale=1.0, targeom=profile.lens.type,
        pixel_format=np.float32, flags=flags.DISTORTION | flags.TCA | flags.VIGNETTING,
    )  # fmt: skip
    x, y = np.meshgrid(np.arange(0.0, SIZE[0], 7), np.arange(0.0, SIZE[1], 7))
    apart = np.abs(lens.sources(x, y) - ruler.apply_subpixel_geometry_distortion()[::7, ::7])
    assert np.quantile(apart, 0.999) < 0.15
    by_chance = np.random.default_rng(7)
    x, y = (by_chance.uniform(0, side - 1, 400) for side in SIZE)
    alone = [ruler.apply_subpixel_geometry_distortion(*at, 1, 1)[0, 0] for at in zip(x, y, strict=True)]
    assert np.abs(lens.sources(x, y) - np.array(alone)).max() < 0.15
    light = np.ones((SIZE[1], SIZE[0], 3), np.float32)
    ruler.apply_color_modification(light)
    gain = lens.shading((0, SIZE[1], 0, SIZE[0]))
    assert np.abs(np.log2((1.0 if gain is None else gain) / light[..., 1])).max() < 0.005


def test_names_that_differ_in_writing_alone_are_one() -> None:
    lens, _later, camera = two_versions()
    name, focal = str(lens.model), float(lens.min_focal)
    for written in (name, name.upper(), name.replace(" ", ""), name.replace(str(lens.maker), "").strip()):
        found = profile_of(of(camera.maker, camera.model, written, focal, 8))
        assert isinstance(found, Profile)
        assert found.lens.model == name


def test_the_older_lens_is_never_taken_for_the_newer() -> None:
    lens, later, camera = two_versions()
    for one in (lens, later):
        found = profile_of(of(camera.maker, camera.model, one.model, float(one.min_focal), 8))
        assert isinstance(found, Profile)
        assert found.lens.model == one.model


def test_two_that_fit_are_offered_and_the_one_you_name_is_taken() -> None:
    camera = takes_several("24-70mm f/2.8")
    settings = of(camera.maker, camera.model, "24-70mm f/2.8", 50, 4)
    found = profile_of(settings)
    assert isinstance(found, NotFound) and found.code == SEVERAL and len(found.others) > 1
    chosen = profile_of(settings, found.others[1])
    assert isinstance(chosen, Profile) and chosen.name == found.others[1]
    assert isinstance(profile_of(settings, "some other lens"), NotFound)


def test_what_is_not_known_is_left_alone() -> None:
    lens, _later, camera = two_versions()
    for settings, code in (
        (of("Made", "Made camera", "Made lens 35mm", 35, 8), NO_CAMERA),
        (of("", "", "", 35, 8), NO_CAMERA),
        (of(camera.maker, camera.model, "Made lens 35mm", 35, 8), UNKNOWN),
        (of(camera.maker, camera.model, "", 35, 8), NO_LENS),
        (of(camera.maker, camera.model, lens.model, 3 * lens.max_focal, 8), UNKNOWN),
    ):
        found = profile_of(settings)
        assert isinstance(found, NotFound)
        assert found.code == code


def test_without_f_number_light_is_left_and_lines_are_straightened() -> None:
    lens, _later, camera = two_versions()
    found = profile_of(of(camera.maker, camera.model, lens.model, float(lens.min_focal), None))
    assert isinstance(found, Profile)
    assert "shading" not in found.lens_for(SIZE).does


def test_without_the_extra_it_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lens_profiles, "_database", lambda: None)
    found = profile_of(of("Made", "Made camera", "Made lens 35mm", 35, 8))
    assert isinstance(found, NotFound) and found.code == NO_EXTRA
