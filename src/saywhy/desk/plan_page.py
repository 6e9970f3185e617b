"""The page of the plan."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from saywhy.desk.pages import Pages
from saywhy.desk.plan_sheets import form_of
from saywhy.desk.plans import Plans
from saywhy.errors import SaywhyError
from saywhy.plan.wishes.effort import NAMES


class PlanPages:
    """The page over the plans of one store."""

    def __init__(self, plans: Plans, pages: Pages) -> None:
        self.plans = plans
        self.pages = pages

    def routes(self) -> list[Route]:
        """Give every page."""
        return [Route("/plan", self.plan)]

    def plan(self, _: Request) -> Response:
        """The months with their episodes, and what can be changed."""
        try:
            told = self.plans.stands()
        except SaywhyError as error:
            problem = error.problems[0]
            return self.pages.gone(f"{problem.what[:1].upper()}{problem.what[1:]}. {problem.mend}.")
        try:
            form = form_of(told.sheet)
        except SaywhyError:
            form = None  # its text is mended on the page
        facts = {"told": told, "bands": NAMES, "form": form}
        return self.pages.page("plan", sheet=told.sheet, facts=facts)
