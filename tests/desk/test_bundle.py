"""Modules joined into one script."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import pytest

from saywhy.board.bundle import bundle


def run(script: str, tmp_path: Path) -> object:
    """Run a script in Node and give what it prints as JSON."""
    file = tmp_path / "made.mjs"
    file.write_text(script, encoding="utf-8")
    done = subprocess.run(["node", str(file)], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def test_every_form_of_import_and_export_works_as_in_modules(tmp_path: Path) -> None:
    modules = {
        "#app/a.js": 'import { two as deux, three } from "#app/b.js";\nimport * as all from "#app/c.js";\n'
        "const found = [deux, three(), all.four, new all.Five().x, all.six, await all.seven()];\n"
        "console.log(JSON.stringify(found));\n",
        "#app/b.js": 'import { four } from "#app/c.js";\n/**\n * It is two.\n */\nexport const two = 2;\n'
        "export function three() {\n  return four - 1;\n}\n",
        "#app/c.js": "export const four = 4;\nexport class Five {\n  x = 5;\n}\nconst secret = 6;\n"
        "export async function seven() {\n  return 7;\n}\nexport { secret as six };\n",
    }
    # The entry is a function too, so a wait in it needs one that may wait.
    script = bundle(modules, "#app/a.js").replace("const $a = (() =>", "const $a = (async () =>")
    assert run(script, tmp_path) == [2, 3, 4, 5, 6, 7]
    assert "It is two" not in script


def test_names_of_one_module_do_not_meet_those_of_another(tmp_path: Path) -> None:
    modules = {
        "#app/a.js": 'import { value } from "#app/b.js";\nconst same = 1;\n'
        "console.log(JSON.stringify(same + value));\n",
        "#app/b.js": "const same = 10;\nexport const value = same;\n",
    }
    assert run(bundle(modules, "#app/a.js"), tmp_path) == 11


CIRCLE = {
    "#app/a.js": 'import { a } from "#app/b.js";\n',
    "#app/b.js": 'import { b } from "#app/a.js";\n',
}


@pytest.mark.parametrize(
    ("modules", "said"),
    [
        ({"#app/a.js": 'import { b } from "#app/b.js";\n'}, "there is no module #app/b.js"),
        ({"#app/a.js": "export default 3;\n"}, "this form is not known: export default 3;"),
        ({"#app/a.js": 'import b from "#app/a.js";\n'}, "this form is not known"),
        (
            {
                "#app/a.js": 'import { a } from "#app/b.js";\n',
                "#app/b.js": 'import { b } from "#app/a.js";\n',
            },
            "circle",
        ),
        ({"#app/a.js": 'const x = "</script>";\n'}, "ends a script element"),
    ],
)
def test_what_cannot_be_joined_is_told(modules: dict[str, str], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        bundle(modules, "#app/a.js")
