"""Make the small HEIC files in tests/heic: `ENCODER_PYTHON scripts/make_heic.py`.

Run by a Python that has `pillow-heif`, numpy and Pillow in an environment of its own: its x265 encodes, which is
GPL, and so is a tool from outside and no dependency. Only the coded pictures come from it; the boxes around them are
written here as ISO/IEC 23008-12 and 14496-12 have them, so that each way a phone or a camera arranges them is there: a
grid of tiles, a thumbnail, rotation and mirror, an ICC profile or code points, EXIF.

The picture is made by code: four blocks of known sRGB colours, a white mark at the upper left corner.
"""

import io
import struct
from pathlib import Path

import numpy as np
import pillow_heif
from PIL import Image, ImageCms
from PIL.TiffImagePlugin import IFDRational

OUT = Path(__file__).resolve().parents[1] / "tests" / "heic"
RED, GREEN, BLUE, GREY = (200, 60, 50), (70, 150, 60), (60, 80, 170), (128, 128, 128)


def picture(width: int = 256, height: int = 192) -> np.ndarray:
    """Four blocks: red, green over blue, grey; a white mark at the upper left."""
    shown = np.empty((height, width, 3), np.uint8)
    half_h, half_w = height // 2, width // 2
    shown[:half_h, :half_w], shown[:half_h, half_w:] = RED, GREEN
    shown[half_h:, :half_w], shown[half_h:, half_w:] = BLUE, GREY
    shown[: height // 8, : width // 8] = 255
    return shown


def p3_of_srgb(shown: np.ndarray) -> np.ndarray:
    """The same colours as numbers of Display P3 (matrices of SMPTE EG 432-1 and IEC 61966-2-1; one curve for both)."""
    to_xyz = np.array(
        [
            [0.4123908, 0.3575843, 0.1804808],
            [0.2126390, 0.7151687, 0.0721923],
            [0.0193308, 0.1191948, 0.9505322],
        ]
    )
    p3 = np.array(
        [[0.4865709, 0.2656677, 0.1982173], [0.2289746, 0.6917385, 0.0792869], [0.0, 0.0451134, 1.0439444]]
    )
    v = shown / 255
    light = np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4) @ (np.linalg.inv(p3) @ to_xyz).T
    light = np.clip(light, 0, 1)
    shown = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.asarray(np.rint(255 * shown), np.uint8)


def exif(orientation: int) -> bytes:
    """1/30 s, f/4, ISO 200, 50 mm, a time; and an orientation that the boxes have the say over."""
    tags = Image.Exif()
    tags[271], tags[272], tags[274] = "Made", "Made phone", orientation
    inner = tags.get_ifd(0x8769)
    inner[33434], inner[33437], inner[34855] = IFDRational(1, 30), IFDRational(4), 200
    inner[37386] = IFDRational(50)
    inner[36867] = "2027:07:15 12:34:56"
    return tags.tobytes()


def coded(shown: np.ndarray, bits: int = 8) -> tuple[bytes, bytes]:
    """One picture coded as HEVC: its `hvcC` box and its data."""
    if bits == 8:
        held = pillow_heif.from_bytes("RGB", shown.shape[1::-1], shown.tobytes())
    else:
        wide = (shown.astype(np.uint32) * 257).astype("<u2")
        held = pillow_heif.from_bytes("RGB;16", shown.shape[1::-1], wide.tobytes())
    buffer = io.BytesIO()
    held.save(buffer, quality=85, chroma=420, save_nclx_profile=False)
    data = buffer.getvalue()
    at = data.index(b"hvcC") - 4
    hvcc = data[at : at + struct.unpack_from(">I", data, at)[0]]
    at = data.index(b"mdat") - 4
    return hvcc, data[at + 8 : at + struct.unpack_from(">I", data, at)[0]]


def box(name: bytes, *parts: bytes) -> bytes:
    body = b"".join(parts)
    return struct.pack(">I", 8 + len(body)) + name + body


def full(name: bytes, version: int, flags: int, *parts: bytes) -> bytes:
    return box(name, struct.pack(">I", version << 24 | flags), *parts)


class File:
    """Items and their properties, put together at the end."""

    def __init__(self, brands: tuple[bytes, ...] = (b"heic", b"mif1", b"heic")) -> None:
        self.brands = brands
        self.items: list[tuple[bytes, bytes, list[int]]] = []
        self.properties: list[bytes] = []
        self.references: list[bytes] = []

    def property(self, data: bytes) -> int:
        if data not in self.properties:
            self.properties.append(data)
        return self.properties.index(data) + 1

    def item(self, kind: bytes, data: bytes, *properties: bytes) -> int:
        self.items.append((kind, data, [self.property(p) for p in properties]))
        return len(self.items)

    def refer(self, kind: bytes, one: int, *others: int) -> None:
        self.references.append(
            box(kind, struct.pack(">HH", one, len(others)), struct.pack(f">{len(others)}H", *others))
        )

    def write(self, name: str, primary: int, hidden: frozenset[int] = frozenset()) -> None:
        infos = [
            full(b"infe", 2, int(n in hidden), struct.pack(">HH4s", n, 0, kind), b"\0")
            for n, (kind, _, _) in enumerate(self.items, 1)
        ]
        owned = b"".join(
            struct.pack(">HB", n, len(own)) + bytes(p | 0x80 for p in own)
            for n, (_, _, own) in enumerate(self.items, 1)
        )
        ftyp = box(b"ftyp", self.brands[0], b"\0\0\0\0", *self.brands[1:])
        meta = b""
        for _ in range(2):  # the places are known once the length is
            places, offset = b"", len(ftyp) + len(meta) + 8
            for n, (_, data, _) in enumerate(self.items, 1):
                places += struct.pack(">HHHII", n, 0, 1, offset, len(data))
                offset += len(data)
            meta = full(
                b"meta", 0, 0,
                full(b"hdlr", 0, 0, struct.pack(">I4s12xx", 0, b"pict")),
                full(b"pitm", 0, 0, struct.pack(">H", primary)),
                full(b"iloc", 0, 0, bytes((0x44, 0x00)), struct.pack(">H", len(self.items)), places),
                full(b"iinf", 0, 0, struct.pack(">H", len(infos)), *infos),
                *([full(b"iref", 0, 0, *self.references)] if self.references else []),
                box(
                    b"iprp", box(b"ipco", *self.properties),
                    full(b"ipma", 0, 0, struct.pack(">I", len(self.items)), owned),
                ),
            )  # fmt: skip
        data = b"".join(one for _, one, _ in self.items)
        (OUT / name).write_bytes(ftyp + meta + box(b"mdat", data))


def ispe(width: int, height: int) -> bytes:
    return full(b"ispe", 0, 0, struct.pack(">II", width, height))


def pixi(bits: int) -> bytes:
    return full(b"pixi", 0, 0, bytes((3, bits, bits, bits)))


def nclx(primaries: int, transfer: int, matrix: int) -> bytes:
    return box(b"colr", b"nclx", struct.pack(">HHHB", primaries, transfer, matrix, 0x80))


def with_exif(file: File, primary: int, orientation: int) -> None:
    block = exif(orientation)
    block = block if block.startswith(b"Exif") else b"Exif\0\0" + block
    file.refer(b"cdsc", file.item(b"Exif", struct.pack(">I", 6) + block), primary)


def simple(
    name: str, shown: np.ndarray, *more: bytes, bits: int = 8, orientation: int = 1, **kwargs: object
) -> None:
    file = File(**kwargs)  # type: ignore[arg-type]
    hvcc, data = coded(shown, bits)
    primary = file.item(b"hvc1", data, hvcc, ispe(shown.shape[1], shown.shape[0]), pixi(bits), *more)
    with_exif(file, primary, orientation)
    file.write(name, primary)


def p3_profile() -> bytes:
    """Display P3 as a small ICC version 2 profile: colorants under D50, one gamma of 2.2 (profile's own curve)."""
    # XYZ of the primaries under D50 by Bradford (ICC.1:2010, annex E)
    bradford = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
    white, d50 = np.array([0.95047, 1.0, 1.08883]), np.array([0.9642, 1.0, 0.8249])
    p3 = np.array(
        [[0.4865709, 0.2656677, 0.1982173], [0.2289746, 0.6917385, 0.0792869], [0.0, 0.0451134, 1.0439444]]
    )
    adapt = np.linalg.inv(bradford) @ np.diag((bradford @ d50) / (bradford @ white)) @ bradford
    red, green, blue = (adapt @ p3).T

    def xyz(v: np.ndarray) -> bytes:
        return b"XYZ \0\0\0\0" + b"".join(struct.pack(">i", round(float(x) * 65536)) for x in v)

    v = np.linspace(0, 1, 256)
    curve = np.rint(65535 * np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)).astype(">u2")
    trc = b"curv\0\0\0\0" + struct.pack(">I", 256) + curve.tobytes()
    text = b"made P3\0"
    parts = [
        (b"desc", b"desc\0\0\0\0" + struct.pack(">I", len(text)) + text + bytes(78)),
        (b"cprt", b"text\0\0\0\0No rights reserved.\0"), (b"wtpt", xyz(white)),
        (b"rXYZ", xyz(red)), (b"gXYZ", xyz(green)), (b"bXYZ", xyz(blue)),
        (b"rTRC", trc), (b"gTRC", trc), (b"bTRC", trc),
    ]  # fmt: skip
    at, table, body, placed = 128 + 4 + 12 * len(parts), b"", b"", {}
    for name, data in parts:
        if data not in placed:
            placed[data] = at + len(body)
            body += data + bytes(-len(data) % 4)
        table += name + struct.pack(">II", placed[data], len(data))
    header = struct.pack(
        ">I4sI4s4s4s6H4s4sI4s4sQI3i4s44x", at + len(body), b"\0\0\0\0", 0x02400000, b"mntr", b"RGB ", b"XYZ ",
        2026, 1, 1, 0, 0, 0, b"acsp", b"\0\0\0\0", 0, b"\0\0\0\0", b"\0\0\0\0", 0, 0,
        round(0.9642 * 65536), 65536, round(0.8249 * 65536), b"\0\0\0\0",
    )  # fmt: skip
    profile = header + struct.pack(">I", len(parts)) + table + body
    ImageCms.ImageCmsProfile(io.BytesIO(profile))  # it can be read
    return profile


def grid() -> None:
    """As phones make it: tiles not shown by themselves, a thumbnail, turned by a quarter, EXIF saying so again."""
    file, shown = File((b"mif1", b"mif1", b"heic", b"miaf")), p3_of_srgb(picture())
    # a quarter turn against the clock was needed to lay the upright picture down: irot 3 (270 degrees) takes it back
    lying = np.ascontiguousarray(np.rot90(shown, 1))
    tiles, side = [], 64
    for top in range(0, 256, side):
        for left in range(0, 192, side):
            hvcc, data = coded(np.ascontiguousarray(lying[top : top + side, left : left + side]))
            tiles.append(file.item(b"hvc1", data, hvcc, ispe(side, side)))
    # rows - 1, columns - 1, width, height (23008-12, 6.6.2.3.2)
    made = struct.pack(">BBBBHH", 0, 0, 3, 2, 192, 256)
    primary = file.item(b"grid", made, ispe(192, 256), pixi(8), nclx(12, 13, 6), box(b"irot", b"\x03"))
    file.refer(b"dimg", primary, *tiles)
    small = np.asarray(Image.fromarray(lying).resize((48, 64)))
    hvcc, data = coded(np.ascontiguousarray(small))
    thumb = file.item(b"hvc1", data, hvcc, ispe(48, 64), box(b"irot", b"\x03"))
    file.refer(b"thmb", thumb, primary)
    with_exif(file, primary, 6)
    file.write("grid-p3-turned.heic", primary, frozenset(tiles))


def main() -> None:
    OUT.mkdir(exist_ok=True)
    shown = picture()
    simple("plain.heic", shown, nclx(1, 13, 6))
    simple(
        "turned.heic",
        np.ascontiguousarray(np.rot90(shown, 1)),
        nclx(1, 13, 6),
        box(b"irot", b"\x03"),
        orientation=6,
    )
    # imir 1 (23008-12, 6.5.12): left and right change places
    simple(
        "mirrored.heic",
        np.ascontiguousarray(shown[:, ::-1]),
        nclx(1, 13, 6),
        box(b"imir", b"\x01"),
        orientation=2,
    )
    simple("exif-only.heic", shown, nclx(1, 13, 6), orientation=6)
    simple("ten-bit.HIF", shown, nclx(1, 13, 6), bits=10, brands=(b"heix", b"mif1", b"heix"))
    simple("p3-codes.heic", p3_of_srgb(shown), nclx(12, 13, 6))
    simple(
        "p3-icc.heif",
        p3_of_srgb(shown),
        box(b"colr", b"prof", p3_profile()),
        nclx(1, 13, 6),
        brands=(b"mif1", b"mif1", b"heic"),
    )
    grid()
    for path in sorted(OUT.iterdir()):
        print(path.name, path.stat().st_size)


if __name__ == "__main__":
    main()
