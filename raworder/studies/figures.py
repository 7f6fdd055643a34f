"""What an order is like beside its cost, counted on the plan: species, cuts, leftovers, packs, lines, stops."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from raworder.plan import Plan
from raworder.reporting.books import fed_cuts, fed_g
from raworder.rulebook import ROUNDING_G
from raworder.solving.nicer import counts_from
from raworder.trade import Scenario


@dataclass(frozen=True, slots=True)
class Figures:
    """An order in numbers. A species or a cut counts from a share of all that is fed; see `solving/nicer.py`.

    `packs` leaves out what is cut to weight, `weighed` are the cuts that are fed but not in whole pieces.
    """

    species: int
    cuts: int
    left_g: int
    packs: int
    lines: int
    stops: int
    weighed: int

    def better_is_more(self, key: str) -> tuple[int, ...]:
        """How well the order does by one wish of `NICER`; more is better, first things first."""
        match key:
            case "species":
                return self.species, self.cuts
            case "left_over":
                return (-self.left_g,)
            case "packs_and_lines":
                return (-self.packs - self.lines,)
            case "stops":
                return (-self.stops,)
            case _:
                return (-self.weighed,)


def figures_of(scenario: Scenario, plan: Plan) -> Figures:
    """The figures of a plan."""
    offers = {offer.key: offer for offer in scenario.offers}
    fed = fed_cuts(scenario, plan)
    return Figures(
        species=sum(_counts(scenario, plan, _known_shares(scenario, name)) for name in scenario.species()),
        cuts=sum(_counts(scenario, plan, ((cut.name, Fraction(1)),)) for cut in fed),
        left_g=sum(one.total_g for one in plan.leftovers),
        packs=sum(line.units for line in plan.lines if not offers[line.offer].by_weight),
        lines=len(plan.lines),
        stops=len(plan.bills),
        weighed=sum(scenario.portioning.whole_piece_g(cut) is None for cut in fed),
    )


def _known_shares(scenario: Scenario, species: str) -> tuple[tuple[str, Fraction], ...]:
    """The cuts that a species is known to be in, with how much."""
    shares = ((cut.name, cut.known_share_of(species)) for cut in scenario.cuts)
    return tuple((name, share) for name, share in shares if share)


def _counts(scenario: Scenario, plan: Plan, counted: Iterable[tuple[str, Fraction]]) -> bool:
    """Whether enough is fed of what counts; a gram of every portion is allowed for rounding."""
    fed, shares = fed_g(scenario, plan), dict(counted)
    eaten_g = sum((share * fed[cut] for cut, share in shares.items()), Fraction(0))
    portions = sum(one.cut in shares for one in plan.portions)
    return portions > 0 and eaten_g + ROUNDING_G * portions >= counts_from(scenario) * sum(fed.values())
