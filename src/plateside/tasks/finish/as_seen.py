"""How bright the raws of a shoot are developed: as the DNG says, else as the camera showed its frames."""

import contextlib
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from plateside.files.cache import BuildRecord, key_of
from plateside.files.journal.state import ShootState
from plateside.files.originals.kinds import is_raw
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.pixels import embedded_preview, linear_picture
from plateside.files.settings.load import OpenShoot
from plateside.finish.brightness import LEAST_STOPS, MOST_STOPS, of_all, shown_brighter
from plateside.finish.develop import develop
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Settings
from plateside.model.pixels import LinearPicture

_METHOD = 3
MOST_FRAMES = 9
"""Of a camera, ISO and picture setting; the median of more would say the same."""
_PREVIEW_PX = 480
Kind = tuple[str, int | None, str]


@dataclass(eq=False)
class AsSeen:
    """The step of each camera, ISO and picture setting; measured once, when it is asked for."""

    opened: OpenShoot
    state: ShootState
    record: BuildRecord
    read: Callable[[Path], LinearPicture] = linear_picture
    """a raw binned by two"""
    _known: dict[Kind, float] = field(default_factory=dict)
    _frames: dict[Kind, list[tuple[str, Path]]] = field(default_factory=dict)

    def stops(self, path: Path) -> float:
        """By how much more than metered a raw is to be brightened [stops]; 0 of a JPEG, or where nothing tells."""
        if not is_raw(path):
            return 0.0
        settings = read_settings(path)
        if settings.baseline_exposure_stops is not None:
            return _rounded(settings.baseline_exposure_stops)
        kind = _kind(settings)
        if kind not in self._known:
            frames = self._of_kind(kind) or [(path.name, path)]
            self._known[kind] = _rounded(of_all([self._of_frame(*one) for one in frames]) or 0.0)
        return self._known[kind]

    def _of_kind(self, kind: Kind) -> list[tuple[str, Path]]:
        if not self._frames:
            for frame, name in self.state.landed.items():
                path = self.opened.folder.frames_dir / name
                with contextlib.suppress(CouldNotError):
                    if is_raw(path) and path.is_file():
                        self._frames.setdefault(_kind(read_settings(path)), []).append((frame, path))
        frames = self._frames.get(kind, [])
        step = max(len(frames) / MOST_FRAMES, 1.0)
        return [frames[int(n * step)] for n in range(min(len(frames), MOST_FRAMES))]

    def _of_frame(self, frame: str, path: Path) -> float | None:
        stat = path.stat()
        name, key = f"as seen {frame}", key_of(_METHOD, frame, stat.st_size, stat.st_mtime_ns)
        cached = (self.record.get(name, key) or {}).get("stops", "")
        if cached is None or (isinstance(cached, float) and LEAST_STOPS <= cached <= MOST_STOPS):
            return cached
        found = None
        # a frame that cannot be read tells nothing; the others do
        with contextlib.suppress(InputError, CouldNotError):
            shown = embedded_preview(path, _PREVIEW_PX)
            if shown is not None:
                found = shown_brighter(develop(self.read(path)), shown)
        self.record.put(name, key, stops=found)
        return found


def _kind(settings: Settings) -> Kind:
    return settings.camera_model, settings.iso, settings.picture_setting


def _rounded(stops: float) -> float:
    """To what nobody can tell apart, so that the last bit of a median does not make every picture anew [stops]."""
    return round(stops * 64) / 64
