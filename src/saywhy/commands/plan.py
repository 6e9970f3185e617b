"""``saywhy plan``: which puzzle airs when."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from saywhy.errors import NotAllowedError, Problem, SaywhyError
from saywhy.files import Entry
from saywhy.files.titles import plain
from saywhy.terminal.codes import Exit
from saywhy.terminal.lines import print_error, print_json
from saywhy.terminal.options import Number, Whole, json_option
from saywhy.terminal.waiting import waiting

if TYPE_CHECKING:
    from saywhy.plan.cadence import Cadence
    from saywhy.plan.outcome import Outcome
    from saywhy.plan.sheet import Sheet
    from saywhy.plan.stock import Stock


@click.command()
@click.argument("wishes", required=False, metavar="[WISHES]")
@json_option
@click.option("--from", "stock", metavar="FILE", help="Puzzles and episodes as TOML or JSON, not the shelf.")
@click.option("--folder", metavar="FOLDER", type=click.Path(path_type=Path), help="Where the shelf is kept.")
@click.option("--first", metavar="DAY", help="The first day of the cadence, as 2026-12-01.")
@click.option("--every", metavar="N", type=Whole(1, 10_000), help="Days between episodes.")
@click.option("--weekdays", metavar="DAYS", help="Instead: weekdays, as tuesday,friday.")
@click.option("--episodes", metavar="N", type=Whole(1, 200), help="How many episodes.")
@click.option("--until", metavar="DAY", help="Instead: the last day.")
@click.option("--skip", metavar="DAYS", multiple=True, help="A day, or '2026-12-24 to 2027-01-02'; repeats.")
@click.option("--setter-rest", metavar="N", type=Whole(0), help="Episodes for which a setter rests.")
@click.option("--family-rest", metavar="N", type=Whole(0), help="The same for a family of rules.")
@click.option("--pin", metavar="PUZZLE=DAY", multiple=True, help="Put a puzzle on a day; repeats.")
@click.option("--today", metavar="DAY", help="Plan as on this day.")
@click.option("--fresh", is_flag=True, help="Forget the earlier plan, all but its pins.")
@click.option("--give-way", is_flag=True, help="Where wishes clash, plan with as few given up as may be.")
@click.option("--work", metavar="N", type=Number(0.1, 600), help="Most work; 1 is about a second.")
@click.option("--why", is_flag=True, help="Say of each episode why it is where it is.")
@click.option("--ical", metavar="FILE", type=click.Path(dir_okay=False), help="Write a calendar file.")
@click.option("--take", is_flag=True, help="Write the plan to the shelf; saywhy shelf undo takes it back.")
def command(  # noqa: PLR0913 - one argument an option
    *,
    wishes: str | None,
    as_json: bool,
    stock: str | None,
    folder: Path | None,
    today: str | None,
    fresh: bool,
    give_way: bool,
    work: float | None,
    why: bool,
    ical: str | None,
    take: bool,
    **asked: Any,
) -> Exit:
    """
    Fill the slots of a cadence with puzzles that may air, as the wishes say, and say why.

    WISHES is a sheet of wishes in TOML; without it plan.toml of the folder counts, if it is there. Options
    change what the sheet says. The shelf stays as it is until --take. Exit codes: 0 planned; 1 the wishes
    clash; 2 bad input; 3 not decided in the work allowed.
    """
    if stock is not None and take:
        raise click.UsageError(
            "--take writes to the shelf, and --from plans without one: leave out one of them"
        )
    try:
        import saywhy.plan.solve  # noqa: F401 - this is what needs it
        from saywhy.plan.outcome import make_plan
        from saywhy.plan.result import WORK
    except ModuleNotFoundError as error:
        raise click.UsageError(f"planning needs {error.name}: install saywhy[plan]") from None
    from saywhy.plan.shelving import SHEET
    from saywhy.shelf import usual_folder
    from saywhy.terminal import planned
    from saywhy.terminal.made import check_files

    try:
        now = _day(today, "--today") or date.today()
        if ical is not None:
            check_files({"--ical": ical}, [wishes or str((folder or usual_folder()) / SHEET), stock or ""])
        sheet = _sheet(wishes, folder, now, asked)
        with waiting("Planning"):
            outcome = make_plan(
                _stock(stock, folder), sheet, now, fresh=fresh, give_way=give_way, work=work or WORK
            )
        if as_json:
            print_json(outcome.as_json())
        else:
            planned.show(outcome, why=why)
        if outcome.made:
            _keep(outcome, ical, folder, take, as_json, apart=stock is not None)
    except SaywhyError as error:
        return print_error(Entry(wishes or "plan", error=error), as_json=as_json)
    if outcome.made:
        return Exit.FINE
    return Exit.NOT_VALID if outcome.plan.status == "none" else Exit.UNDECIDED


def _keep(  # noqa: PLR0913
    outcome: Outcome, ical: str | None, folder: Path | None, take: bool, as_json: bool, *, apart: bool
) -> None:
    """Write what was asked for; ``apart`` from a shelf there is nothing to take it to."""
    from saywhy.plan.calendar import calendar

    if ical is not None:
        data = calendar(outcome.series, outcome.plan.line, datetime.now(UTC))
        try:
            Path(ical).write_bytes(data)
        except OSError as error:
            what = f"cannot be written: {(error.strerror or str(error)).lower()}"
            mend = "Name a file in a folder that is there"
            raise NotAllowedError(Problem(what, mend, "--ical"), ical) from None
        if not as_json:
            click.echo(f"Written to {ical}.", err=True)
    if take:
        from saywhy.plan.shelving import take as taken
        from saywhy.shelf import Shelf, usual_folder

        with Shelf(folder or usual_folder()) as shelf:
            done = taken(shelf, outcome)
        if not as_json:
            click.echo(f"Taken: {done} episodes changed on the shelf. saywhy shelf undo takes it back.")
    elif not as_json and ical is None:
        ways = "--ical FILE writes" if apart else "--take writes it to the shelf, --ical FILE"
        click.echo(f"Nothing was written. {ways} a calendar.")


def _stock(file: str | None, folder: Path | None) -> Stock:
    if file is not None:
        from saywhy.plan.stock_file import read_stock

        return read_stock(file)
    from saywhy.plan.shelving import stock_of
    from saywhy.terminal.shelf_folder import open_shelf

    with open_shelf(folder) as shelf:
        return stock_of(shelf)


def _sheet(file: str | None, folder: Path | None, today: date, asked: dict[str, Any]) -> Sheet:
    """Read the sheet, and change it as the options say."""
    from saywhy.files.limits import MOST_BYTES
    from saywhy.files.texts import read_short
    from saywhy.plan.sheet import read_sheet, usual
    from saywhy.plan.shelving import SHEET
    from saywhy.shelf import usual_folder

    path = Path(file) if file is not None else (folder or usual_folder()) / SHEET
    text, source = usual(today), None
    if file is not None or path.exists():
        source = str(path)
        text = read_short(path, MOST_BYTES, "the sheet", "Name a sheet of wishes, a TOML file")
    return _changed(read_sheet(text, source, today), asked)


def _changed(sheet: Sheet, asked: dict[str, Any]) -> Sheet:
    """Give the sheet as the options change it."""
    from saywhy.plan.wishes import FamilyRest, Request, SetterRest, Wish

    wishes: list[Wish] = list(sheet.wishes)
    for name, kind in (("setter_rest", SetterRest), ("family_rest", FamilyRest)):
        if asked[name] is not None:
            firm = next((wish.firm for wish in wishes if isinstance(wish, kind)), kind is SetterRest)
            wishes = [wish for wish in wishes if not isinstance(wish, kind)]
            wishes.append(kind(episodes=asked[name], firm=firm))
    pins: dict[str, Request] = {}
    for held in asked["pin"]:
        puzzle, _, day = held.rpartition("=")
        if puzzle in pins:
            raise _wrong(puzzle, "is pinned twice", "Keep one pin", "--pin")
        if not puzzle:
            raise _wrong(held, "names no day", "Write p12=2026-12-24", "--pin")
        pins[puzzle] = Request(puzzle=puzzle, on=_day(day, "--pin"), pin=True)
    wishes = [held for held in wishes if not (isinstance(held, Request) and held.pin and held.puzzle in pins)]
    wishes += pins.values()
    return replace(sheet, cadence=_cadence(sheet.cadence, asked), wishes=tuple(wishes))


def _cadence(held: Cadence, asked: dict[str, Any]) -> Cadence:
    from saywhy.plan.sheet import gap, weekday_numbers

    first, until = _day(asked["first"], "--first"), _day(asked["until"], "--until")
    changed: dict[str, Any] = {} if first is None else {"first": first}
    if asked["every"] is not None and asked["weekdays"] is not None:
        raise click.UsageError("--every and --weekdays do not go together")
    if asked["every"] is not None:
        changed |= {"every": asked["every"], "weekdays": ()}
    if asked["weekdays"] is not None:
        numbers, wrong = weekday_numbers([name.strip() for name in asked["weekdays"].split(",")])
        if wrong:
            raise _wrong(wrong[0], "is not a weekday", "Write it as tuesday,friday", "--weekdays")
        changed |= {"every": None, "weekdays": numbers}
    if asked["episodes"] is not None or until is not None:
        changed |= {"episodes": asked["episodes"], "until": until}
    skip = [*held.skip]
    for days in asked["skip"]:
        if (found := gap(days)) is None:
            raise _wrong(days, "names no days", "Write a day, or '2026-12-24 to 2027-01-02'", "--skip")
        skip.append(found)
    return replace(held, **changed, skip=tuple(skip))


def _day(text: str | None, option: str) -> date | None:
    if text is None:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise _wrong(text, "is not a day", "Write it as 2026-12-01", option) from None


def _wrong(text: str, what: str, mend: str, option: str) -> NotAllowedError:
    return NotAllowedError(Problem(f"{plain(text)[:40]!r} {what}", mend, option))
