"""What was made of each shot: files by channel, format and size, as the markup and the manifest need them."""

from dataclasses import dataclass

from plateside.deliver.words import Words
from plateside.model.shoot import Channel, Shot


@dataclass(frozen=True)
class File:
    """One delivered picture file."""

    path: str
    """within the delivery folder, with forward slashes"""
    kind: str
    """jpeg, webp, avif or png"""
    width_px: int
    height_px: int
    bytes: int
    quality: int = 0
    ssim: float | None = None


@dataclass(frozen=True)
class Rendition:
    """One shot cropped for one channel: every format and size of it."""

    channel: Channel
    files: tuple[File, ...]

    @property
    def width_px(self) -> int:
        return max(f.width_px for f in self.files)

    @property
    def height_px(self) -> int:
        return max(f.height_px for f in self.files)

    @property
    def main(self) -> File:
        """The file for a reader that knows the fewest formats, at full size: JPEG, else PNG, WebP, AVIF."""
        order = ("jpeg", "png", "webp", "avif")
        return min(self.files, key=lambda f: (-f.width_px, order.index(f.kind)))

    def of_kind(self, kind: str) -> tuple[File, ...]:
        """Its files of one format, smallest first."""
        return tuple(sorted((f for f in self.files if f.kind == kind), key=lambda f: f.width_px))


@dataclass(frozen=True)
class ShotFiles:
    """One delivered shot."""

    shot: Shot
    words: Words
    renditions: tuple[Rendition, ...]

    @property
    def on_page(self) -> tuple[Rendition, ...]:
        """Those that are part of the recipe page."""
        return tuple(r for r in self.renditions if r.channel.on_page)
