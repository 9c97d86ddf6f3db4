"""Benchmarks as modules, for tests that hold a share of what they measure."""

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

BENCH = Path(__file__).parents[1] / "bench"


def bench_module(name: str) -> ModuleType:
    """A benchmark, loaded once from its folder, which is no package."""
    if name in sys.modules:
        return sys.modules[name]
    sys.path.insert(0, str(BENCH))  # a benchmark may use another
    try:
        spec = importlib.util.spec_from_file_location(name, BENCH / f"{name}.py")
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        sys.modules[name] = module
        spec.loader.exec_module(module)
        return module
    finally:
        sys.path.remove(str(BENCH))
