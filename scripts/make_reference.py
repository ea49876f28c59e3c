"""Write docs/files.md from the model: every table and key of studio.toml and shoot.toml.

Run as `python -m scripts.make_reference`. A test holds the page against the code.
"""

from tests.synthetic.reference import PAGE, reference_text


def main() -> None:
    """Write the page."""
    PAGE.write_text(reference_text(), encoding="utf-8")
    print(f"Wrote {PAGE.name}")


if __name__ == "__main__":
    main()
