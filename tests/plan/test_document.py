"""What the page of the plan shows is what its commands give."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "plan.md").read_text(encoding="utf-8")


def test_the_page_shows_the_example_files_and_what_the_command_makes_of_them() -> None:
    shown = re.findall(r"^```toml\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)
    assert shown == [
        (ROOT / "examples" / "plan" / name).read_text(encoding="utf-8")
        for name in ("wishes.toml", "stock.toml")
    ]
    command, told = re.search(r"```sh\nsaywhy (.*?)\n```\n\n```\n(.*?)```", PAGE, re.DOTALL).groups()  # type: ignore[union-attr]
    ran = subprocess.run(
        [sys.executable, "-m", "saywhy", *command.split()],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (ran.returncode, ran.stdout) == (0, told)
