"""`python -m plateside`."""

import sys

from plateside.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
