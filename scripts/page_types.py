"""Write the types of what the pages are sent: web/static/js/core/facts.d.ts. See tests/synthetic/page_types.py."""

import sys

from tests.synthetic.page_types import OUT, roots, written


def main() -> int:
    OUT.write_text(written(roots()), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
