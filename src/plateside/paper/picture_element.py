"""The `<picture>` element of one shot: every format and width, room reserved, words for those who cannot see it.

HTML Living Standard, 4.8.1 to 4.8.4: sources from the best format to the plainest, `srcset` by width, `sizes`,
`width` and `height` so that nothing jumps while it loads.
"""

from html import escape

from plateside.deliver.renditions import Rendition, ShotFiles

BEST_FIRST = ("avif", "webp", "jpeg", "png")
_MIME = {"avif": "image/avif", "webp": "image/webp", "jpeg": "image/jpeg", "png": "image/png"}
_NARROW = "(max-width: 36rem)"
SIZES = "(max-width: 52rem) 100vw, 52rem"


def page_rendition(shot: ShotFiles) -> Rendition | None:
    """The crop a wide page shows: the widest shape among those on the page."""
    return max(shot.on_page, key=lambda r: r.width_px / r.height_px, default=None)


def narrow_rendition(shot: ShotFiles) -> Rendition | None:
    """The crop a narrow screen shows instead: the one nearest to a square, when it is not the wide one."""
    wide = page_rendition(shot)
    if wide is None:
        return None
    squarest = min(shot.on_page, key=lambda r: abs(r.width_px / r.height_px - 1))
    return squarest if squarest is not wide and squarest.width_px >= 320 else None


def picture_element(shot: ShotFiles, first: bool = False, indent: str = "") -> str:
    """The element as HTML. `first`: the page's main picture, loaded at once; the others when they come near."""
    wide = page_rendition(shot)
    if wide is None:
        return ""
    lines = ["<picture>"]
    narrow = narrow_rendition(shot)
    if narrow is not None:
        lines += [_source(narrow, kind, _NARROW) for kind in BEST_FIRST if narrow.of_kind(kind)]
    kinds = [k for k in BEST_FIRST if wide.of_kind(k)]
    lines += [_source(wide, kind, "") for kind in kinds if kind != wide.main.kind]
    main = wide.main
    srcset = _srcset(wide, main.kind)
    loading = 'fetchpriority="high"' if first else 'loading="lazy" decoding="async"'
    lines.append(
        f'  <img {loading} src="{escape(main.path)}"{srcset} '
        f'width="{main.width_px}" height="{main.height_px}" alt="{escape(shot.words.alt_text)}">'
    )
    lines.append("</picture>")
    return "\n".join(indent + line for line in lines)


def _source(rendition: Rendition, kind: str, media: str) -> str:
    said = f' media="{media}"' if media else ""
    return (
        f'  <source type="{_MIME[kind]}"{said}{_srcset(rendition, kind)} '
        f'width="{rendition.width_px}" height="{rendition.height_px}">'
    )


def _srcset(rendition: Rendition, kind: str) -> str:
    files = rendition.of_kind(kind)
    offered = ", ".join(f"{escape(f.path)} {f.width_px}w" for f in files)
    return f' srcset="{offered}" sizes="{SIZES}"'
