"""Every command and option has its help and stands in the README."""

from __future__ import annotations

import re
from pathlib import Path

import click
import pytest

from saywhy.cli import saywhy as group
from tests.running import Command

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
NAMES = group.list_commands(click.Context(group))


def found(name: str) -> click.Command:
    command = group.get_command(click.Context(group), name)
    assert command is not None
    return command


def row(name: str) -> str:
    """Give the README's row of a command."""
    [line] = re.findall(rf"^\| `saywhy {name}\b.*$", README, re.MULTILINE)
    return str(line)


def test_the_first_commands_are_there() -> None:
    assert {"check", "count", "demo", "draw", "explain"} <= set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_a_command_and_all_its_options_stand_in_the_readme(name: str) -> None:
    for parameter in found(name).params:
        if isinstance(parameter, click.Option):
            for option in (*parameter.opts, *parameter.secondary_opts):
                assert option in row(name), f"{option} of {name}"
        else:
            assert parameter.make_metavar(click.Context(found(name))) in row(name)


@pytest.mark.parametrize("name", NAMES)
def test_the_readme_names_no_option_that_a_command_does_not_have(name: str) -> None:
    known = {option for held in found(name).params for option in (*held.opts, *held.secondary_opts)}
    assert set(re.findall(r"(?<![\w-])--?[a-z][a-z-]*", row(name))) <= known


@pytest.mark.parametrize("name", NAMES)
def test_help_says_what_a_command_and_each_option_does(saywhy: Command, name: str) -> None:
    ran = saywhy(name, "--help")
    assert ran.code == 0
    assert " ".join((found(name).help or "").split())[:70] in " ".join(ran.out.split())
    for parameter in found(name).params:
        if isinstance(parameter, click.Option):
            assert parameter.help, f"{parameter.name} of {name}"


def test_a_misspelt_command_is_answered_with_the_one_that_is_close(saywhy: Command) -> None:
    ran = saywhy("chekc", "x")
    assert ran.code == 2
    assert "Did you mean check?" in ran.err


def test_a_misspelt_part_is_answered_with_the_one_that_is_close(saywhy: Command) -> None:
    ran = saywhy("shelf", "lst")
    assert ran.code == 2 and "Did you mean list?" in ran.err


@pytest.mark.parametrize("words", [(), ("shelf",)])
def test_help_says_each_command_in_a_whole_sentence(saywhy: Command, words: tuple[str, ...]) -> None:
    out = saywhy(*words, "--help").out
    listed = re.split(r"\n  (?=\S)", out.partition("Commands:")[2])[1:]
    assert len(listed) > 10 and all(re.search(r"[^.]\.\s*$", entry) for entry in listed)


def test_no_command_prints_the_help(saywhy: Command) -> None:
    ran = saywhy()
    assert ran.code == 2
    assert "check" in ran.out + ran.err
