"""Words large enough in a terminal to be read from two metres, out of half-block characters.

At two metres, ISO 9241-303 asks for at least 16 minutes of arc: capitals 9.3 mm high. A terminal line is about
4.5 mm, so letters of five half lines (11 mm) do for the next act, and five or ten whole lines (22 or 45 mm) for
the verdict.
"""

_ROWS = {
    "A": "010101111101101", "B": "110101110101110", "C": "011100100100011", "D": "110101101101110",
    "E": "111100110100111", "F": "111100110100100", "G": "011100101101011", "H": "101101111101101",
    "I": "111010010010111", "J": "001001001101010", "K": "101110100110101", "L": "100100100100111",
    "M": "101111111101101", "N": "110101101101101", "O": "010101101101010", "P": "110101110100100",
    "Q": "010101101111011", "R": "110101110101101", "S": "011100010001110", "T": "111010010010010",
    "U": "101101101101111", "V": "101101101101010", "W": "101101111111101", "X": "101101010101101",
    "Y": "101101010010010", "Z": "111001010100111", "0": "111101101101111", "1": "010110010010111",
    "2": "110001010100111", "3": "110001010001110", "4": "101101111001001", "5": "111100110001110",
    "6": "011100111101111", "7": "111001010010010", "8": "111101111101111", "9": "111101111001110",
    " ": "000000000000000", ".": "000000000000010", ",": "000000000010100", ":": "000010000010000",
    "/": "001001010100100", "-": "000000111000000", "+": "000010111010000", "(": "010100100100010",
    ")": "010001001001010", "%": "101001010100101", "'": "010010000000000", ";": "000010000010100",
}  # fmt: skip
"""3 x 5 letters, row by row; of our own drawing."""


def _pixels(letter: str) -> list[str]:
    rows = _ROWS.get(letter, _ROWS[" "])
    return [rows[i : i + 3] for i in range(0, 15, 3)]


def small(text: str, columns: int = 80) -> list[str]:
    """Lines of half-block letters (three terminal lines to a line of text), wrapped to the terminal's width."""
    room = max(columns // 4, 6)
    lines, line = [], ""
    for word in text.upper().split():
        word = word[:room]
        if line and len(line) + 1 + len(word) > room:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    lines.append(line)
    return [row for text_line in lines for row in _half_blocks(text_line)]


def _half_blocks(text: str) -> list[str]:
    rows = ["0".join(_pixels(letter)[y] for letter in text) for y in range(5)] + ["0" * (4 * len(text) - 1)]
    picture = {("0", "0"): " ", ("1", "0"): "▀", ("0", "1"): "▄", ("1", "1"): "█"}
    out = ["".join(picture[a, b] for a, b in zip(rows[y], rows[y + 1], strict=True)) for y in (0, 2, 4)]
    return [line.rstrip() for line in out]


def large(word: str, columns: int = 80) -> list[str]:
    """The verdict's word: each pixel of the 3 x 5 letters two columns by one line, twice that where it fits."""
    size = 2 if len(word) * 16 <= columns else 1
    on, off = "██" * size, "  " * size
    out = []
    for y in range(5):
        line = off.join("".join(on if p == "1" else off for p in _pixels(c)[y]) for c in word.upper())
        out += [line.rstrip()] * size
    return out
