"""A plan with bags, a mix and stations as it is kept in a file. All of it is invented."""

import json
from dataclasses import replace
from pathlib import Path

from raworder.rendering.as_json import as_json, plan_as_json
from raworder.trade.bags import Filling, Mix, Station, Tub
from raworder.trade.fingerprint import fingerprint
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from tests.builders import SMALL, SMALL_PLAN, a_bag, a_filling

SLUGS_OF_PAPERS = tuple(
    """
    broken-json not-a-saved-plan other-schema-version other-scenario damaged-plan
    unknown-supplier ambiguous-offer bought-twice line-against-itself unknown-substitute unlike-the-list
    not-a-record other-plan broken-record
    """.split()
)
"""Slugs of what comes back to us, which no scenario can give: saved plans, receipts and records of weighing."""

NECKS, TRIM, LIVER = a_filling("chicken neck", 120, 2), a_filling("beef trim", 345), a_filling("lamb liver", 35)

BAGGED = replace(
    SMALL_PLAN,
    bags=(
        a_bag((NECKS, LIVER, TRIM), day=0),
        a_bag((NECKS, LIVER, TRIM), day=1),
        a_bag((a_filling("chicken neck", 60, 1), a_filling("mix 1", 190)), dog="Juniper", topped_up="mix 1"),
        a_bag((a_filling("beef trim", 71), a_filling("lamb liver", 4)), dog="Sorrel", day=13, kind="", topped_up=""),
    ),
    mixes=(
        Mix(
            "mix 1",
            ("Juniper",),
            (Filling("beef heart", 100), Filling("beef trim", 90)),
            (
                Tub(1, (Filling("beef heart", 50), Filling("beef trim", 45))),
                Tub(2, (Filling("beef heart", 50), Filling("beef trim", 45))),
            ),
        ),
    ),
    stations=(
        Station(1, "lamb liver", (3,)),
        Station(1, "beef trim", (3,)),
        Station(2, "chicken neck", (0, 1, 2)),
        Station(2, "lamb liver", (0, 1)),
        Station(2, "mix 1", (2,)),
        Station(2, "beef trim", (0, 1)),
    ),
    remarks=("a remark with `quotes` and ünïcode",),
)
"""`SMALL_PLAN` with a few bags of each sort; they are not all that a batch needs."""


def printed(plan: Plan = BAGGED, scenario: Scenario = SMALL) -> str:
    """What the command line prints of a plan for programs, without the papers."""
    return as_json(
        [],
        ended="plan",
        scenario=fingerprint(scenario),
        plan_fingerprint=fingerprint((plan, None)),
        plan=plan_as_json(plan),
    )


def written(folder: Path, text: str | bytes, name: str = "plan.json") -> Path:
    """The text in a file."""
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def changed(**fields: object) -> str:
    """The print with some of its fields changed."""
    return json.dumps(json.loads(printed()) | fields)
