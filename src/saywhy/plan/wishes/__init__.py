"""The wishes that a host can have: one file a kind."""

from __future__ import annotations

from saywhy.plan.wishes.effort import Effort
from saywhy.plan.wishes.fill import Fill
from saywhy.plan.wishes.request import Request
from saywhy.plan.wishes.rest import FamilyRest, SetterRest
from saywhy.plan.wishes.wish import Wish

__all__ = ["Effort", "FamilyRest", "Fill", "Request", "SetterRest", "Wish"]
