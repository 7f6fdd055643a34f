"""Who bears what: the bills put on the cuts, each cut on the dogs that eat it, and all of it in whole minor units."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from raworder.trade.as_fed import bought_g, bought_steps, given_steps, supplement_lines
from raworder.trade.batch_facts import NO_OWNER, Costs, Parts
from raworder.trade.dogs import Dog
from raworder.trade.plan import Bill, Plan
from raworder.trade.rounding import apportion
from raworder.trade.scenario import FedScenario, Scenario


def share_bills(scenario: FedScenario, plan: Plan) -> Costs:
    """What dogs and owners bear of the bills, exactly and in whole minor units that add up to them."""
    cuts, eaten, left = cost_of_cuts(scenario, plan), eaten_parts(scenario, plan), left_parts(scenario, plan)
    dogs, left_over = _borne_by_dogs(scenario, plan, cuts, eaten)
    return Costs(
        dogs, left_over, tuple(_borne_by_owners(scenario, plan, cuts, (eaten, left)).items()), cuts, eaten, left
    )


def owners(scenario: Scenario) -> tuple[str, ...]:
    """Who owns the dogs, in the scenario's order; one more where dogs have no owner named."""
    return tuple(dict.fromkeys(dog.owner or NO_OWNER for dog in scenario.dogs))


def cost_of_cuts(scenario: Scenario, plan: Plan) -> dict[str, Fraction]:
    """What was paid for every cut bought: goods, with tax and delivery in proportion to the goods."""
    return money_on_cuts(scenario, plan, lambda bill: bill.total)


def money_on_cuts(
    scenario: Scenario, plan: Plan, money: Callable[[Bill], Decimal], *, by_weight: bool = False
) -> dict[str, Fraction]:
    """So much money of every bill, put on the cuts it is for: in proportion to the goods, or by weight.

    Where all goods of a bill are free, by weight.
    """
    put: dict[str, Fraction] = {}
    for bill in plan.bills:
        lines = sold_by(scenario, plan, bill.supplier)
        for one, weight in zip(lines, _weights(lines, by_weight=by_weight), strict=True):
            put[one.name] = put.get(one.name, Fraction(0)) + Fraction(money(bill)) * weight
    return put


@dataclass(frozen=True, slots=True)
class BilledLine:
    """A line of a bill: the cut or supplement, the goods, and what it weighs; supplements weigh nothing here."""

    name: str
    goods: Fraction
    grams: Fraction


def sold_by(scenario: Scenario, plan: Plan, supplier: str) -> list[BilledLine]:
    """What one supplier sold."""
    offers = {offer.key: offer for offer in scenario.offers}
    food = [
        BilledLine(offer.cut, Fraction(line.goods), line.units * offer.unit_g)
        for line in plan.lines
        if (offer := offers[line.offer]).supplier == supplier
    ]
    beside = supplement_lines(scenario, plan, supplier)
    return [*food, *(BilledLine(offer.supplement, Fraction(line.goods), Fraction(0)) for line, offer in beside)]


def eaten_parts(scenario: Scenario, plan: Plan) -> Parts:
    """The part of what was bought of a cut that each dog eats; what they lack to the whole is left over.

    What an owner has on hand is eaten by that owner's dogs alike, and nobody bears anything for it. Of all else that
    is on hand or bought all eat alike.
    """
    spare_g = {leftover.cut: leftover.bought_g for leftover in plan.leftovers}
    bought = bought_g(scenario, plan)
    parts: dict[str, dict[str, Fraction]] = {}
    for cut, eaten_g in _shared_g(scenario, plan).items():
        fed_g = sum(eaten_g.values(), Fraction(0))
        borne = Fraction(bought[cut] - spare_g.get(cut, 0)) / (bought[cut] * fed_g) if fed_g else Fraction(0)
        parts[cut] = {dog: grams * borne for dog, grams in eaten_g.items()}
    return parts | parts_bought(scenario, plan)


def left_parts(scenario: Scenario, plan: Plan) -> Parts:
    """The part of what was bought of a cut that is left over, by who eats of it; of what nobody eats, by the rations.

    Where no dog has a ration either, all bear alike.
    """
    eaten: dict[str, Mapping[str, Fraction | int]] = {**_shared_g(scenario, plan), **given_steps(scenario, plan)}
    rations_g = {dog.name: dog.batch_g for dog in scenario.dogs}
    parts: dict[str, dict[str, Fraction]] = {}
    for cut, borne in eaten_parts(scenario, plan).items():
        left = 1 - sum(borne.values(), Fraction(0))
        by: Mapping[str, Fraction | int] = next(
            (mapping for mapping in (eaten.get(cut, {}), rations_g) if any(mapping.values())), dict.fromkeys(borne, 1)
        )
        whole = sum(by.values(), Fraction(0))
        shares = {dog: left * grams / whole for dog, grams in by.items()}
        parts[cut] = {dog.name: shares.get(dog.name, Fraction(0)) for dog in scenario.dogs}
    return parts


def _shared_g(scenario: Scenario, plan: Plan) -> dict[str, dict[str, Fraction]]:
    """Grams that each dog eats of every cut that was bought, in the scenario's order, but for its owner's own lots."""
    eaten_g = {(cut, dog.name): 0 for cut, grams in bought_g(scenario, plan).items() if grams for dog in scenario.dogs}
    eaten_g |= {
        (portion.cut, portion.dog): portion.batch_g
        for portion in plan.portions
        if (portion.cut, portion.dog) in eaten_g
    }
    together_g, own_g = Counter[tuple[str, str]](), Counter[tuple[str, str]]()
    owner_of = {dog.name: dog.owner for dog in scenario.dogs}
    for (cut, dog), grams in eaten_g.items():
        together_g[cut, owner_of[dog]] += grams
    for use in plan.lots_used:
        lot = scenario.on_hand[use.lot]
        own_g[lot.cut, lot.owner] += use.used_g if lot.owner else 0
    shared: dict[str, dict[str, Fraction]] = {}
    for (cut, dog), grams in eaten_g.items():
        whole_g, of_own_g = together_g[cut, owner_of[dog]], own_g[cut, owner_of[dog]]
        shared.setdefault(cut, {})[dog] = Fraction(grams * (whole_g - of_own_g), whole_g or 1)
    return shared


def _weights(lines: list[BilledLine], *, by_weight: bool) -> list[Fraction]:
    """Each line's part of a bill; all alike where neither money nor weight tells them apart."""
    goods, grams = [line.goods for line in lines], [line.grams for line in lines]
    first, second = (grams, goods) if by_weight else (goods, grams)
    amounts = next((one for one in (first, second) if any(one)), [Fraction(1)] * len(lines))
    whole = sum(amounts, Fraction(0))
    return [amount / whole for amount in amounts]


def parts_bought(scenario: Scenario, plan: Plan) -> dict[str, dict[str, Fraction]]:
    """By supplement bought and by dog the part of what was bought that it is given; what was at home goes to all."""
    given, held = (
        given_steps(scenario, plan),
        {supplement.name: supplement.on_hand_steps for supplement in scenario.supplements},
    )
    parts = {}
    for name, steps in bought_steps(scenario, plan).items():
        mine = given.get(name, {})
        whole = sum(mine.values())
        from_bought = Fraction(max(whole - held[name], 0), steps)
        parts[name] = {dog.name: from_bought * mine.get(dog.name, 0) / (whole or 1) for dog in scenario.dogs}
    return parts


def _borne_by_dogs(
    scenario: FedScenario, plan: Plan, cuts: Mapping[str, Fraction], eaten: Parts
) -> tuple[tuple[Decimal, ...], Decimal]:
    """What each dog bears, in the scenario's order, and what is left over; together exactly the total of the plan.

    What is left over is rounded by itself, as on the shopping list; then the owners' sums are made whole minor units,
    then the dogs of each within them.
    """
    borne = [sum((cost * eaten[cut][dog.name] for cut, cost in cuts.items()), Fraction(0)) for dog in scenario.dogs]
    left_paid = scenario.currency.rounded(sum(cuts.values(), Fraction(0)) - sum(borne, Fraction(0)))
    owned: dict[str, dict[int, Fraction]] = {}
    for place, (dog, cost) in enumerate(zip(scenario.dogs, borne, strict=True)):
        owned.setdefault(_bearer(scenario, dog), {})[place] = cost
    minor = scenario.currency.minor
    sums = [sum(shares.values(), Fraction(0)) for shares in owned.values()]
    whole: dict[int, int] = {}
    for shares, owner_whole in zip(owned.values(), apportion(int((plan.total - left_paid) / minor), sums), strict=True):
        whole |= zip(shares, apportion(owner_whole, list(shares.values())), strict=True)
    return tuple(whole[place] * minor for place in range(len(borne))), left_paid


def _bearer(scenario: Scenario, dog: Dog) -> str:
    """Whose sum is made whole first: the owner's, or where no dog has one, the dog's own."""
    return dog.owner or NO_OWNER if any(dog.owner for dog in scenario.dogs) else dog.name


def _borne_by_owners(
    scenario: FedScenario, plan: Plan, cuts: Mapping[str, Fraction], both: Sequence[Parts]
) -> dict[str, Decimal]:
    """What each owner bears with the left over shared out, in the scenario's order; together the total of the plan."""
    borne = dict.fromkeys(owners(scenario), Fraction(0))
    for cut, cost in cuts.items():
        for dog in scenario.dogs:
            borne[dog.owner or NO_OWNER] += cost * sum((parts[cut][dog.name] for parts in both), Fraction(0))
    minor = scenario.currency.minor
    shares = apportion(int(plan.total / minor), list(borne.values()))
    return {owner: count * minor for owner, count in zip(borne, shares, strict=True)}
