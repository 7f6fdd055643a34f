"""What a person is asked at the scale: the station, the bag, and what to put in."""

from raworder.bags import Next
from raworder.plan import Plan
from raworder.reporting.bag_book import bag_book
from raworder.reporting.counter_steps import CLEAN_DOWN, cleans_between
from raworder.reporting.words import counted
from raworder.trade import Scenario

HOW = (
    "Type the grams that were put in, or nothing where it was just the target. `back` takes the last entry back, "
    "`stop` ends for now.\n"
)
"""What a person is told when it begins."""


def station_head(scenario: Scenario, plan: Plan, station: int) -> str:
    """Which cut comes next, for how many bags, and whether to clean down first."""
    here = plan.stations[station]
    book = bag_book(scenario, plan)
    cleans = station > 0 and cleans_between(book, plan.stations[station - 1], here)
    grams = sum(plan.bags[place].grams_of(here.cut) for place in here.bags)
    cleaned = f"{CLEAN_DOWN.capitalize()}.\n" if cleans else ""
    return f"\n{cleaned}{here.cut}: {book.grams(grams)} into {counted(len(here.bags), 'bag')}\n"


def asked(plan: Plan, due: Next) -> str:
    """What to put into which bag, as a question that is answered by the grams that were put in."""
    bag = plan.bags[due.bag]
    meal = f" meal {bag.meal}" if any(one.meal > 1 for one in plan.bags if one.dog == bag.dog) else ""
    what = f"{due.pieces} x {due.cut}, about {due.target_g} g" if due.pieces else f"put in {due.target_g} g"
    total = "" if due.bag_to_g is None else f", the bag then weighs {due.bag_to_g} g"
    return f"  bag {due.bag + 1} {bag.dog} {bag.day}{meal} {bag.kind}: {what}{total} > "


def done_so_far(done: int, of: int) -> str:
    """How far it has come."""
    if done >= of:
        return f"\nAll {of} weighings are done.\n"
    return f"\n{done} of {of} weighings are done; the same command goes on here.\n"
