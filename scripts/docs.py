"""
Write the generated files of the repository, or with --check say which are out of date.

Usage: python scripts/docs.py [--check]
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import rules_page

from saywhy.files.schema import schema_text

ROOT = Path(__file__).parents[1]

#: Each generated file and what gives its text.
GENERATED: dict[str, Callable[[], str]] = {
    "docs/format-1.schema.json": schema_text,
    **rules_page.generated(),
}


def stale() -> list[str]:
    """Name the generated files that do not hold what they should."""
    return [
        name
        for name, text in GENERATED.items()
        if not (ROOT / name).is_file() or (ROOT / name).read_text(encoding="utf-8") != text()
    ]


def main() -> int:
    """Write or check."""
    if "--check" in sys.argv[1:]:
        for name in (found := stale()):
            print(f"{name} is out of date: run make docs", file=sys.stderr)
        return bool(found)
    for name in stale():
        (ROOT / name).parent.mkdir(parents=True, exist_ok=True)
        (ROOT / name).write_text(GENERATED[name](), encoding="utf-8")
        print(f"wrote {name}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
