"""Plain facts: what arithmetic on the lists shows without searching, and whether it rules a plan out by itself."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import combinations
from math import ceil

from raworder.giving_way.all_or_nothing import FrozenFirst, RestingEnergy
from raworder.giving_way.demand import Demand
from raworder.giving_way.family import leave_out
from raworder.giving_way.money_and_stock import Budget, Room, SupplierCount
from raworder.giving_way.nutrient_ends import NutrientEnd
from raworder.giving_way.ranges_and_caps import Cap, PartShare
from raworder.giving_way.variety import SpeciesCount
from raworder.reporting.words import count_text, join_names, paper, subject_text
from raworder.solving.groups import PIECES_OF_A_BATCH, groups_of
from raworder.studies.instead_of_bone import avoids_whole_bone, has_calcium, minced_bone
from raworder.studies.mixture_facts import (
    Kind,
    budget_below_food,
    clashing_ranges,
    kinds_of,
    names_text,
    short_rations,
    short_rations_table,
    too_little_energy,
    too_little_for_all,
)
from raworder.trade.cuts import Cut, Measure, Part, Subject
from raworder.trade.document import Block, Document, Paragraph, Points
from raworder.trade.dogs import Dog, Target
from raworder.trade.nutrients import nutrient_of
from raworder.trade.plan import NoPlan
from raworder.trade.scenario import Offer, Scenario, Supplier, slots_of
from raworder.trade.units import grams_text, share_text

MOST_SUPPLIERS = 8
"""The most suppliers for which every choice of a few is looked at."""


def plain_facts(scenario: Scenario) -> tuple[str, ...]:
    """Sentences with numbers about what rules a plan out or nearly does."""
    return tuple(says for says, _ in _facts(scenario, FACTS))


@dataclass(frozen=True, slots=True)
class FactKind:
    """A kind of fact: what finds it, the demands it is about, and whether each rules a plan out by itself.

    One that `is_alone` is looked for only where no other was found before.
    """

    find: Callable[[Scenario], Iterator[str]]
    about: tuple[type[Demand], ...] = ()
    proves: bool = True
    is_alone: bool = False


def _facts(scenario: Scenario, kinds: Iterable[FactKind]) -> Iterator[tuple[str, FactKind]]:
    """The facts of these kinds, each with its kind."""
    is_found = False
    for kind in kinds:
        for says in () if is_found and kind.is_alone else kind.find(scenario):
            is_found = True
            yield says, kind


MOST_SEARCHED = 12
"""Where more dogs eat, what arithmetic shows is the answer, and no smaller change is searched for beside it."""


def no_plan_at_once(scenario: Scenario) -> NoPlan | None:
    """That there is no plan, where dogs are many and a plain fact proves it; None where a plan must be searched for."""
    return NoPlan() if _is_for_many(scenario) and any(True for _ in _proofs(scenario)) else None


def _is_for_many(scenario: Scenario) -> bool:
    """Whether more dogs eat than are searched for, and nothing is bought yet."""
    is_bought = any(offer.bought is not None for offer in scenario.offers)
    return not is_bought and sum(dog.batch_g > 0 for dog in scenario.dogs) > MOST_SEARCHED


def _proofs(scenario: Scenario) -> Iterator[tuple[str, FactKind]]:
    """The facts that prove that there is no plan, each with its kind."""
    yield from _facts(scenario, [kind for kind in FACTS if kind.proves])


def paper_at_once(scenario: Scenario) -> Document | None:
    """The paper of plain facts that prove that there is no plan, where dogs are many; None where there are none."""
    facts, is_all = _told_one_after_the_other(scenario) if _is_for_many(scenario) else ((), False)
    if not facts:
        return None
    head = Paragraph(f"{AT_ONCE} {NOTHING_ELSE}" if is_all else AT_ONCE)
    return paper(scenario, "no_plan", f"No plan: {scenario.title}", (head, *facts_blocks(scenario, facts)))


def _told_one_after_the_other(scenario: Scenario) -> tuple[tuple[str, ...], bool]:
    """The facts that prove it, and those that show once these are out of the way; and whether those are all.

    Not all can be known where something is short that no rule asks for.
    """
    facts: list[str] = []
    while proofs := tuple(_proofs(scenario)):
        facts += (says for says, _ in proofs if says not in facts)
        about = dict.fromkeys(demand for _, kind in proofs for demand in kind.about)
        demands = [demand for kind in about for demand in kind.all_of(scenario)]
        if not demands or not all(kind.about for _, kind in proofs):
            return tuple(facts), False
        scenario = leave_out(scenario, demands)
    return tuple(facts), True


AT_ONCE = "No order follows all your rules: change what is named here, and plan again."
NOTHING_ELSE = "Nothing else was found in the way, but packs, whole pieces and bags were not looked at."


def facts_blocks(scenario: Scenario, facts: tuple[str, ...]) -> Iterator[Block]:
    """The facts as points, and rations that are too little in a table."""
    if facts:
        yield Points("facts", "What plain arithmetic shows", facts)
    if short := short_rations(scenario):
        yield short_rations_table(scenario, short)


def facts_at_once(scenario: Scenario) -> str:
    """What is said on the terminal before smaller changes are searched for."""
    facts = tuple(says for says, _ in _proofs(scenario))
    return "".join(f"{says}\n" for says in (PROVED if facts else NO_ORDER, *facts, SEARCHED))


PROVED, NO_ORDER = "There is no plan, as plain arithmetic shows:", "There is no plan."
SEARCHED = "Searching for the smallest changes that make one possible; Ctrl-C ends it with what is found."


def there_g(scenario: Scenario, cut: str) -> int | None:
    """The grams of a cut on hand and for sale; None where an offer of it is unlimited."""
    offers = [offer for offer in scenario.offers if offer.cut == cut]
    if any(offer.available is None for offer in offers):
        return None
    return scenario.on_hand_g(cut) + sum(offer.grams(offer.available or 0) for offer in offers)


def _fed_dogs(scenario: Scenario) -> tuple[Dog, ...]:
    return tuple(dog for dog in scenario.dogs if dog.batch_g)


def _eat_word(scenario: Scenario) -> str:
    """The verb for the dogs' food: `eat at least` where some rations are in energy, so that grams are open."""
    return "eat at least" if any(dog.free_grams for dog in scenario.dogs) else "eat"


def _text(scenario: Scenario, grams: int) -> str:
    return grams_text(grams, scenario.weight_unit)


def _least_share(dog: Dog, part: Part) -> Fraction:
    return next((target.low for target in dog.targets if target.part is part), Fraction(0))


def _names_of(scenario: Scenario, kinds: Iterable[Kind]) -> str:
    """The dogs of these kinds in words."""
    return names_text(scenario, (dog.name for kind in kinds for dog in kind.dogs))


def _lacking_parts(scenario: Scenario) -> Iterator[str]:
    """Parts that dogs must get but nothing contains, or nothing that they may eat."""
    kinds = kinds_of(scenario)
    for part in Part:
        holding = [cut for cut in scenario.cuts if cut.part_share(part)]
        wanting = [kind for kind in kinds if kind.least_share(part)]
        without = [kind for kind in wanting if all(map(kind.rules.avoids, holding))]
        if without and not holding:
            names = _names_of(scenario, without)
            yield f"Nothing on the lists or on hand contains {part}; {names} must get some. Offer a cut with {part}."
        elif without:
            cuts, names = join_names([cut.name for cut in holding]), _names_of(scenario, without)
            avoided = all(Subject(Measure.PART, part) in kind.rules.avoid for kind in without)
            cure = f"`avoid` forbids all {part} and `targets` asks for some: change one" if avoided else "Offer another"
            yield f"{names} must get {part} but must not eat any of the cuts that contain it: {cuts}. {cure}."
        others = [kind for kind in wanting if kind not in without and all(map(kind.rules.goes_without, holding))]
        yield from _cuts_gone_without(scenario, part, others, holding)


def _cuts_gone_without(scenario: Scenario, part: Part, kinds: Sequence[Kind], holding: Sequence[Cut]) -> Iterator[str]:
    """Dogs that may eat cuts with the part but still cannot be given them, with why and what to do."""
    unknown = [kind for kind in kinds if kind.rules.counts_energy and any(cut.kcal_per_g is None for cut in holding)]
    if unknown:
        cuts = join_names([cut.name for cut in holding if cut.kcal_per_g is None])
        yield (
            f"{_names_of(scenario, unknown)} must get {part}, but nobody knows the energy of the cuts that "
            f"contain it and that may be eaten ({cuts}), and their food goes by energy: state "
            f"`analysis: {{energy: ...}}`."
        )
    for key in dict.fromkeys(key for cut in holding for key in cut.destroys):
        asking = [kind for kind in kinds if key in kind.rules.needs_kept]
        name, cuts = nutrient_of(key).name, join_names([cut.name for cut in holding if key in cut.destroys])
        if asking:
            yield (
                f"{_names_of(scenario, asking)} must get {part}, but the cuts that contain it and that may be eaten "
                f"({cuts}) can destroy {name}, which a rule asks for: add another cut with {part}, or take that rule "
                "out."
            )


def _whole_bone(scenario: Scenario) -> Iterator[str]:
    """Dogs that must not have whole bone and cannot get enough minced bone, with what might help."""
    found: dict[str, list[str]] = {}
    for kind in kinds_of(scenario):
        most_g = max(ceil(kind.least_share(Part.BONE) * dog.batch_g) for dog in kind.dogs)
        if not most_g or not avoids_whole_bone(kind.rules):
            continue
        minced = minced_bone(scenario, kind.rules)
        there = [(there_g(scenario, cut.name), cut.part_share(Part.BONE)) for cut in minced]
        held_g = int(sum(((grams or 0) * share for grams, share in there), Fraction(0)))
        if held_g < most_g and all(grams is not None for grams, _ in there):
            says = _instead_of_bone(scenario, kind.rules, join_names([cut.name for cut in minced]))
            found.setdefault(says, []).extend(
                dog.name for dog in kind.dogs if ceil(kind.least_share(Part.BONE) * dog.batch_g) > held_g
            )
    yield from (f"{names_text(scenario, names)} must not have whole bone. {says}" for says, names in found.items())


def _instead_of_bone(scenario: Scenario, dog: Dog, minced: str) -> str:
    """Which minced bone there is too little of, what could be minced, and whether there is calcium to give beside."""
    others = [subject for subject in dog.avoid if subject.measure is not Measure.WHOLE_BONE]
    whole = [cut for cut in scenario.cuts if cut.part_share(Part.BONE) and dog.avoids(cut)]
    could_be = [cut.name for cut in whole if not any(subject.touches(cut) for subject in others)]
    sentences = [f"There is too little minced bone: {minced}." if minced else "No minced bone for it is on the lists."]
    if could_be and not minced:
        sentences.append(f"Ask whether anybody minces {' or '.join(could_be)}, bone and all.")
    if not has_calcium(scenario, dog):
        sentences.append("Nor is a supplement with calcium.")
    return " ".join(sentences)


def _too_little_of_parts(scenario: Scenario) -> Iterator[str]:
    """Parts of which there is less than the least of all targets together, or of the targets of some of the dogs."""
    kinds = kinds_of(scenario)
    for part in Part:
        needed = [(kind, kind.least_share(part) * kind.batch_g) for kind in kinds if kind.least_share(part)]
        for some, least_g, stock_g in _short_supplies(
            scenario, needed, {cut.name: cut.part_share(part) for cut in scenario.cuts}
        ):
            least, stock = _text(scenario, ceil(least_g)), _text(scenario, stock_g)
            if some:
                names = _names_of(scenario, some)
                yield f"{names} must get at least {least} of {part}; all that they may eat contains {stock}."
            else:
                yield f"The dogs must get at least {least} of {part}; all that there is contains {stock}."


def _short_supplies(
    scenario: Scenario, needed: Sequence[tuple[Kind, Fraction]], counted: Mapping[str, Fraction]
) -> Iterator[tuple[tuple[Kind, ...], Fraction, int]]:
    """What is needed and what there is, where that is less: for all kinds together, none named, else for some of them.

    Of a gram of each cut its share in `counted` counts. For some dogs there is too little where all that any of them
    may eat is less than they need together.
    """
    holding = {cut: share for cut, share in counted.items() if share}
    there = {cut: there_g(scenario, cut) for cut in holding}
    wanting = [(kind, due, frozenset(cut.name for cut in kind.cuts) & set(holding)) for kind, due in needed]
    sets = {frozenset(holding), *(cuts for _, _, cuts in wanting)}
    for cuts in sorted(sets, key=lambda cuts: (-len(cuts), sorted(cuts))):
        held_g = [None if (grams := there[cut]) is None else grams * holding[cut] for cut in cuts]
        stock_g = None if None in held_g else int(sum(filter(None, held_g), Fraction(0)))
        some = [(kind, due) for kind, due, allowed in wanting if allowed <= cuts]
        need_g = sum((due for _, due in some), Fraction(0))
        if cuts and stock_g is not None and stock_g < need_g:
            yield () if len(cuts) == len(holding) else tuple(kind for kind, _ in some), need_g, stock_g
            return


def _ends_out_of_reach(scenario: Scenario) -> Iterator[str]:
    """Ranges that no mixture can reach, as every cut that a dog may eat has too much or too little of the part."""
    dogs_of: dict[str, list[str]] = {}
    for kind in kinds_of(scenario):
        for target in kind.rules.targets if kind.cuts else ():
            for says in _out_of_reach(kind.rules, target, kind.cuts):
                dogs_of.setdefault(says, []).extend(dog.name for dog in kind.dogs)
    yield from (f"{names_text(scenario, names)} must get {says}." for says, names in dogs_of.items())


def _out_of_reach(dog: Dog, target: Target, cuts: Sequence[Cut]) -> Iterator[str]:
    """How one range is out of reach with the cuts that the dog may eat."""
    part, shares = target.part, [cut.part_share(target.part) for cut in cuts]
    if min(shares) > target.high:
        yield f"at most {share_text(target.high)} of {part}, but no cut has less than {share_text(min(shares))}"
    if 0 < max(shares) < target.low:
        yield f"at least {share_text(target.low)} of {part}, but no cut for it has more than {share_text(max(shares))}"
    elif target.low:
        holding = [cut for cut in cuts if cut.part_share(part)]
        for other in dog.targets if holding else ():
            ratios = [cut.part_share(part) / (cut.part_share(other.part) or 1) for cut in holding]
            comes_with = other.part is not part and all(cut.part_share(other.part) for cut in holding)
            if comes_with and max(ratios) * other.high < target.low:
                yield (
                    f"at least {share_text(target.low)} of {part}, but every cut with it holds {other.part} too: at "
                    f"most {share_text(other.high)} of {other.part} leave it {share_text(max(ratios) * other.high)}"
                )


def _too_little_room(scenario: Scenario) -> Iterator[str]:
    """More food than the freezer holds."""
    need_g, held_g = sum(dog.batch_g for dog in scenario.dogs), sum(lot.grams for lot in scenario.on_hand)
    room_g = scenario.room_g
    if room_g is not None and held_g > room_g:
        yield f"What is on hand, {_text(scenario, held_g)}, is more than the freezer's room, {_text(scenario, room_g)}."
    elif room_g is not None and room_g < need_g:
        yield (
            f"The dogs {_eat_word(scenario)} {_text(scenario, need_g)} over the batch, but the freezer holds only "
            f"{_text(scenario, room_g)}. Find more room, or plan fewer days at a time."
        )


def _too_little_food(scenario: Scenario) -> Iterator[str]:
    """Less food than the dogs eat, or than some of them eat of what they may."""
    needed = [(kind, Fraction(kind.batch_g)) for kind in kinds_of(scenario)]
    for some, least_g, stock_g in _short_supplies(scenario, needed, {cut.name: Fraction(1) for cut in scenario.cuts}):
        least, stock = _text(scenario, ceil(least_g)), _text(scenario, stock_g)
        if some:
            at_least = "at least " if any(kind.rules.free_grams for kind in some) else ""
            names = _names_of(scenario, some)
            yield f"{names} must get {at_least}{least} over the batch, but all that they may eat is {stock}."
        else:
            yield f"The dogs {_eat_word(scenario)} {least} over the batch, but there is only {stock}."


def _minimum_orders(scenario: Scenario) -> Iterator[str]:
    """Minimum orders above the price of all that dogs could eat from the supplier, or of all that it has.

    Not where grams are free or the supplier sells supplements too, as then there is no such bound.
    """
    need_g = sum(dog.batch_g for dog in scenario.dogs)
    sell_supplements = {offer.supplier for offer in scenario.supplement_offers}
    suppliers = [supplier for supplier in scenario.suppliers if supplier.name not in sell_supplements]
    for supplier in () if any(dog.free_grams for dog in scenario.dogs) else suppliers:
        offers = [offer for offer in scenario.offers if offer.supplier == supplier.name]
        if offers and supplier.minimum_order:
            most = min(_dearest_per_g(offers) * need_g, _price_of_all(offers, need_g))
            if most < supplier.minimum_order:
                yield _below_minimum(scenario, supplier, most)


def _below_minimum(scenario: Scenario, supplier: Supplier, most: Fraction) -> str:
    money = scenario.currency
    return (
        f"{supplier.name}: minimum order {money.text(supplier.minimum_order)}, but everything that the dogs eat costs "
        f"at most {money.text(money.rounded_up(most))} there."
    )


def _price_of_all(offers: Iterable[Offer], need_g: int) -> Fraction:
    """The price of all that a supplier has; of an unlimited offer as much as the dogs eat."""
    units = ((offer, ceil(need_g / offer.unit_g) if offer.available is None else offer.available) for offer in offers)
    return sum((max(step.unit_price for step in offer.steps) * count for offer, count in units), Fraction(0))


def _dearest_per_g(offers: Iterable[Offer]) -> Fraction:
    return max(step.unit_price / offer.unit_g for offer in offers for step in offer.steps)


def _budget(scenario: Scenario) -> Iterator[str]:
    """A budget below the cost of the food at the lowest price on the lists, or below every minimum order."""
    need_g = sum(dog.batch_g for dog in scenario.dogs) - sum(lot.grams for lot in scenario.on_hand)
    prices = [step.unit_price / offer.unit_g for offer in scenario.offers for step in offer.steps]
    if scenario.budget is None or need_g <= 0 or not prices:
        return
    money, least = scenario.currency, min(prices) * need_g
    if (
        least - Fraction(money.minor) * len(scenario.offers) > scenario.budget
    ):  # each line may be rounded down on the bill
        yield (
            f"The budget is {money.text(scenario.budget)}, but {_text(scenario, need_g)} of even the cheapest cut cost "
            f"{money.text(money.rounded_up(least))}."
        )
    dear = [
        supplier.name for supplier in scenario.suppliers if max(supplier.minimum_order, Decimal(0)) > scenario.budget
    ]
    if dear and len(dear) == len(scenario.suppliers):
        yield f"The minimum order of every supplier is above the budget of {money.text(scenario.budget)}."


def _suppliers_needed(scenario: Scenario) -> Iterator[str]:
    """That the parts that dogs must get need more suppliers than are allowed."""
    most, names = scenario.most_suppliers, [supplier.name for supplier in scenario.suppliers]
    if most is None or most >= len(names) or len(names) > MOST_SUPPLIERS:
        return
    on_hand = {part for lot in scenario.on_hand for part, share in scenario.cut(lot.cut).parts if share}
    sold = {
        part: _sellers(scenario, part) for part in Part if any(_least_share(dog, part) for dog in _fed_dogs(scenario))
    }
    needed = {part: sellers for part, sellers in sold.items() if sellers and part not in on_hand}
    if not any(all(sellers & set(chosen) for sellers in needed.values()) for chosen in combinations(names, most)):
        parts = "; ".join(f"{part} from {join_names(sorted(sellers))}" for part, sellers in needed.items())
        has = "has" if most == 1 else "have"
        yield f"No {count_text(most, 'supplier')} {has} every part that is asked for: {parts}."


def _sellers(scenario: Scenario, part: Part) -> frozenset[str]:
    return frozenset(offer.supplier for offer in scenario.offers if scenario.cut(offer.cut).part_share(part))


def _vet_amounts(scenario: Scenario) -> Iterator[str]:
    """Cuts of which there is less than a veterinarian prescribed."""
    given_g: dict[str, int] = {}
    for vet_amount in (amount for dog in scenario.dogs for amount in dog.vet_amounts):
        given_g[vet_amount.cut] = given_g.get(vet_amount.cut, 0) + vet_amount.batch_g
    known = {cut.name for cut in scenario.cuts}
    for cut, grams in given_g.items():
        stock_g = there_g(scenario, cut) if cut in known else 0
        if stock_g is not None and stock_g < grams:
            there = f"there is only {_text(scenario, stock_g)}" if stock_g else "nobody sells it and none is on hand"
            yield f"The veterinarian gave {_text(scenario, grams)} of {cut}, but {there}."


def _pieces_too_large(scenario: Scenario) -> Iterator[str]:
    """Parts that come only in pieces that some dogs cannot be fed whole, with what is in the way of each piece."""
    unfit = {dog.name: group.unfit for group in groups_of(scenario) for dog in group.dogs}
    for part in Part:
        stuck: dict[tuple[str, ...], list[str]] = {}
        for dog in _fed_dogs(scenario):
            holding = [cut for cut in scenario.cuts if cut.part_share(part) and not dog.goes_without(cut)]
            if _least_share(dog, part) and holding and all(cut.name in unfit.get(dog.name, ()) for cut in holding):
                stuck.setdefault(tuple(_piece_text(scenario, dog, cut) for cut in holding), []).append(dog.name)
        for pieces, names in stuck.items():
            dogs, says = names_text(scenario, names), "; ".join(pieces)
            yield f"{dogs} must get {part}, but no piece with it can be fed whole: {says}."


def _piece_text(scenario: Scenario, dog: Dog, cut: Cut) -> str:
    """A piece of a cut, and why it cannot be fed whole: the bag, the most a day may hold, or the batch."""
    rules, fed_g, meals = scenario.portioning, [grams for grams in dog.day_g if grams], dog.meals
    piece_g = rules.whole_piece_g(cut) or 0
    if scenario.shares_pieces or dog.free_grams:  # then too much for the smallest bag is too much
        day_g, bag_g = min(fed_g), min(fed_g) // meals - rules.scale_step_g
    else:
        day_g, bag_g = max(fed_g), max(slot.grams for slot in slots_of(dog, scenario))
    too_much = ["it is too large for one bag"] if piece_g + rules.least_portion_g > bag_g else []
    too_much += [
        f"its {subject_text(subject)} alone is more than {share_text(most)} of a day's food"
        for subject, most in dog.most_a_day(rules)
        if piece_g * subject.share_in(cut) > most * day_g
    ]
    if scenario.shares_pieces and PIECES_OF_A_BATCH * piece_g > dog.batch_g:
        too_much.append("it is more than a quarter of what the dog eats over the batch")
    why = join_names(too_much) or "it is too large for one bag, as bags nearly alike count as the smaller"
    return f"{cut.name} of {_text(scenario, piece_g)} ({why})"


def _too_few_species(scenario: Scenario) -> Iterator[str]:
    """Fewer animal species that a dog may eat than variety asks for."""
    least, subjects = scenario.variety.least_species, [Subject(Measure.SPECIES, name) for name in scenario.species()]
    short: dict[tuple[str, ...], list[Kind]] = {}
    for kind in kinds_of(scenario) if least else ():
        there = tuple(subject.word for subject in subjects if any(map(subject.share_in, kind.cuts)))
        if kind.rules.care is None and len(there) < least:
            short.setdefault(there, []).append(kind)
    for there, kinds in short.items():
        has = f"only {join_names(there)}" if there else "no animal species"
        names = _names_of(scenario, kinds)
        yield f"{names} must get {least} animal species, but may eat {has} of what there is."


FACTS: tuple[FactKind, ...] = (
    FactKind(too_little_energy, (RestingEnergy,)),
    FactKind(_lacking_parts, (PartShare, NutrientEnd)),
    FactKind(_whole_bone, (PartShare,)),
    FactKind(_pieces_too_large, proves=False),  # where pieces are shared out, bags nearly alike count as the smaller
    FactKind(_too_little_of_parts, (PartShare,)),
    FactKind(_ends_out_of_reach, (PartShare,)),
    FactKind(clashing_ranges, (PartShare, Cap, FrozenFirst)),
    FactKind(_too_few_species, (SpeciesCount,)),
    FactKind(_vet_amounts),
    FactKind(_too_little_room, (Room,)),
    FactKind(_too_little_food),
    FactKind(too_little_for_all, (PartShare, Cap, FrozenFirst), is_alone=True),
    FactKind(_minimum_orders, proves=False),  # another supplier may do
    FactKind(_budget, (Budget,)),
    FactKind(budget_below_food, (Budget,)),
    FactKind(_suppliers_needed, (SupplierCount,)),
)
"""The kinds of fact, those about what dogs eat first."""
