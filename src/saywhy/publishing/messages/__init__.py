"""The catalogue of published texts: one TOML file a language."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources
from types import MappingProxyType

from saywhy.errors import NotAllowedError, Problem

LANGUAGES = ("en",)


@cache
def messages(language: str = "en") -> MappingProxyType[str, str]:
    """
    Give the published texts of a language by name.

    Raises:
        NotAllowedError: There is no such language.
    """
    source = resources.files(__name__).joinpath(f"{language}.toml")
    if not language.isalpha() or not source.is_file():
        raise NotAllowedError(
            Problem(
                f"there are no texts in {language[:20]!r}", "Name a language of the catalogue", "language"
            )
        )
    return MappingProxyType(tomllib.loads(source.read_text(encoding="utf-8")))
