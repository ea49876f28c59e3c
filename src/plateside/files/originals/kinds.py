"""Which files are frames by their names, which are passed over, and what the first bytes say that a file is.

Lists: file-name endings that LibRaw 0.22 opens. `jpeg_size` reads the start-of-frame marker
(ITU-T T.81, annex B), so that an oversized picture is refused before a byte of it is decoded.
"""

from functools import lru_cache
from pathlib import Path

JPEG_ENDINGS = frozenset({".jpg", ".jpeg", ".jpe", ".jfif"})

_RAW = """
    3fr ari arw bay braw cap cr2 cr3 crw cs1 dc2 dcr dng drf dsc eip erf fff gpr iiq k25 kc2 kdc mdc mef mos mrw
    nef nrw orf pef ptx pxn qtk raf raw rdc rw2 rwl rwz sr2 srf srw sti x3f
"""
RAW_ENDINGS = frozenset("." + ending for ending in _RAW.split())

HEIF_ENDINGS = frozenset({".heic", ".heif", ".hif", ".heics", ".heifs"})
"""ISO/IEC 23008-12; .hif is what cameras write. HEVC only: an AVIF is another codec in the same boxes."""

_SILENT = """
    xmp thm aae ind bdm lnk url ini db
    txt md log csv json toml xml sha256 md5
    part partial tmp temp crdownload download filepart
"""
SILENT_ENDINGS = frozenset("." + ending for ending in _SILENT.split())
"""What lies beside frames and is none: sidecars, a card's own lists, notes and sums, copies that are still coming."""

SILENT_NAMES = frozenset({"thumbs.db", "ehthumbs.db", "desktop.ini", "icon\r", "autorun.inf"})
SILENT_FOLDERS = frozenset({"__macosx", "$recycle.bin", "system volume information", "lost+found", "@eadir"})
"""What systems leave behind; names that begin with a dot are hidden anyway."""

LARGEST_PX = 200_000_000
"""Larger pictures are refused before decoding: 200 megapixels, beyond any camera used here, is 1.2 GB in memory."""


def is_raw(path: Path) -> bool:
    """By its name."""
    return path.suffix.lower() in RAW_ENDINGS


def is_display(path: Path) -> bool:
    """By its name: a picture as the camera developed it, JPEG or HEIF."""
    return path.suffix.lower() in JPEG_ENDINGS | HEIF_ENDINGS


@lru_cache(maxsize=256)
def kind_of_ending(ending: str) -> str:
    """display, raw, silent (passed over without a word) or other (said: it cannot be read); `ending` in lower case."""
    if ending in JPEG_ENDINGS or ending in HEIF_ENDINGS:
        return "display"
    if ending in RAW_ENDINGS:
        return "raw"
    return "silent" if ending in SILENT_ENDINGS or ending.endswith("~") else "other"


_HEVC_BRANDS = frozenset({b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"hevm", b"hevs"})
_IMAGE_BRANDS = frozenset({b"mif1", b"msf1", b"mif2", b"miaf"})


def content_kind(head: bytes) -> str:
    """What a file is by its first 64 bytes or more: JPEG, HEIC, or another kind by its name; empty when unknown.

    Signatures: T.81 B.1.1.3; ISO/IEC 23008-12 annex B (brands); RFC 2083; TIFF 6.0; ISO 32000-1, 7.5.2; RIFF; the rest
    from memory. A TIFF signature is that of most raws as well.
    """
    if head[:3] == b"\xff\xd8\xff":
        return "JPEG"
    if head[4:8] == b"ftyp":
        return _kind_by_brands(head)
    for start, kind in _SIGNATURES:
        if head.startswith(start):
            return kind
    if head[:4] == b"RIFF":
        return {b"WEBP": "WebP picture", b"AVI ": "AVI video"}.get(head[8:12], "RIFF file")
    return ""


def _kind_by_brands(head: bytes) -> str:
    length = int.from_bytes(head[:4], "big")
    # the major brand, and those that the file says it is compatible with
    brands = [head[8:12], *(head[at : at + 4] for at in range(16, min(max(length, 12), len(head)) - 3, 4))]
    if brands[0] == b"crx ":
        return "CR3 raw"
    if brands[0] == b"qt  ":
        return "QuickTime video"
    if any(brand in _HEVC_BRANDS for brand in brands):
        return "HEIC"
    if any(brand in (b"avif", b"avis") for brand in brands):
        return "AVIF picture"
    return "HEIC" if any(brand in _IMAGE_BRANDS for brand in brands) else "MPEG-4 video"


_SIGNATURES = (
    (b"\x89PNG", "PNG picture"), (b"GIF8", "GIF picture"), (b"BM", "BMP picture"), (b"%PDF", "PDF document"),
    (b"8BPS", "layered picture (PSD)"), (b"II*\0", "TIFF picture"), (b"MM\0*", "TIFF picture"),
    (b"PK\x03\x04", "ZIP archive"), (b"\x1aE\xdf\xa3", "Matroska video"), (b"\xff\x0a", "JPEG XL picture"),
    (b"\0\0\0\x0cJXL ", "JPEG XL picture"), (b"\0\0\0\x0cjP  ", "JPEG 2000 picture"),
    (b"\0\0\x01\xba", "MPEG video"),
)  # fmt: skip

_BY_ENDING = {
    "PNG picture": "png", "TIFF picture": "tif tiff", "AVIF picture": "avif", "WebP picture": "webp",
    "GIF picture": "gif", "BMP picture": "bmp", "JPEG XL picture": "jxl", "JPEG 2000 picture": "jp2 j2k",
    "layered picture (PSD)": "psd psb", "PDF document": "pdf",
    "video": "mov mp4 m4v avi mts m2ts mpg mpeg mkv webm lrv 3gp",
    "raw video": "crm r3d", "sound": "wav mp3 m4a aac aif aiff", "ZIP archive": "zip", "archive": "tar gz 7z rar",
}  # fmt: skip
_KIND_BY_ENDING = {"." + one: kind for kind, endings in _BY_ENDING.items() for one in endings.split()}


def kind_by_ending(ending: str) -> str:
    """What a file that is not a frame is by its ending: 'video', 'PDF document'; '' when nobody knows."""
    return _KIND_BY_ENDING.get(ending.lower(), "")


_NO_LENGTH = frozenset({0x00, 0x01, *range(0xD0, 0xD9)})
_START_OF_FRAME = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}


def jpeg_size(data: bytes) -> tuple[int, int] | None:
    """Width and height [px] stated in a JPEG's header, or None when `data` is not a JPEG's beginning."""
    if data[:2] != b"\xff\xd8":
        return None
    at = 2
    while at + 4 <= len(data):
        if data[at] != 0xFF:
            # stray bytes before a marker are passed over, as every reader does
            at = data.find(b"\xff", at)
            if at < 0 or at + 4 > len(data):
                return None
        marker = data[at + 1]
        if marker == 0xFF:  # fill byte
            at += 1
            continue
        if marker in _NO_LENGTH:
            at += 2
            continue
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        if marker in _START_OF_FRAME:
            if at + 9 > len(data):
                return None
            height = int.from_bytes(data[at + 5 : at + 7], "big")
            return int.from_bytes(data[at + 7 : at + 9], "big"), height
        if marker in (0xD9, 0xDA) or length < 2:
            return None
        at += 2 + length
    return None
