"""`python3 demo`: install Vestige beside this folder if need be, then show the museum."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

from environment import launch

if __name__ == "__main__":
    sys.exit(launch(["vestige", "demo", *sys.argv[1:]]))
