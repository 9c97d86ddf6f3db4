"""`python3 tests`: install Vestige beside this folder if need be, then run the tests."""

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "demo"))

from environment import launch, with_workers  # noqa: E402

if __name__ == "__main__":
    pytest = ["python", "-m", "pytest", *with_workers(sys.argv[1:])]
    sys.exit(launch(pytest, extras=("test",), where=ROOT))
