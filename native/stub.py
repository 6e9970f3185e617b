"""
Write the type stub of the native module, or with ``--check`` say whether the committed one is current.

Run from the root of the repository after a build.
"""

from __future__ import annotations

import subprocess
import sys
from importlib import import_module
from pathlib import Path

from nanobind.stubgen import StubGen

STUB = Path("src/saywhy/engine/_native.pyi")


def stub() -> str:
    """Give the stub of the module as built, formatted like the rest of the code."""
    module = import_module("saywhy.engine._native")
    generator = StubGen(module, recursive=False, quiet=True)
    generator.put(module)
    ruff = [sys.executable, "-m", "ruff"]
    name = ["--stdin-filename", str(STUB), "-"]
    text = generator.get()
    for command in (["check", "--fix-only", "--quiet"], ["format", "--quiet"]):
        text = subprocess.run(
            [*ruff, *command, *name], input=text, capture_output=True, text=True, check=True
        ).stdout
    return text


if __name__ == "__main__":
    if "--check" in sys.argv[1:]:
        sys.exit(0 if STUB.read_text() == stub() else f"{STUB} is out of date: run python native/stub.py")
    STUB.write_text(stub())
