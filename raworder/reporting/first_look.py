"""The first look at a plan: what it costs and where, what is wrong or doubtful about it, and what to do next."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from raworder.reporting.cautions import numbered_cautions
from raworder.reporting.doubts import doubts, worst_doubts
from raworder.reporting.food_doubts import Doubt
from raworder.reporting.nutrition_words import doses_text
from raworder.reporting.order import buy_by, is_bought, order_table
from raworder.reporting.portions import portions_at_a_glance
from raworder.reporting.summary import dog_day_facts, money_facts, proof_text
from raworder.reporting.words import capitalised, count_text, days_text, join_names, next_commands, paper
from raworder.trade.as_fed import left
from raworder.trade.document import Block, Column, Document, Fact, Facts, Holds, Paragraph, Points, Table
from raworder.trade.plan import Bill, Plan
from raworder.trade.scenario import FedScenario, Scenario
from raworder.trade.units import day_text, grams_text

LOOK_FIRST = "Look at this first"
"""The heading of what is wrong or doubtful."""

MOST_LINES = 3
"""More cuts than this from the freezer or left over, and more dogs that get supplements, are counted, not listed."""

HURT = "Raw meat and home-made rations can hurt dogs and people"
SHOW_IT = f"{HURT}: show this plan to a veterinarian before you feed it"
CAUTION = f"{SHOW_IT} (`raworder plan FILE --paper cautions`)."
"""The caution that stands on the first screen whatever is planned."""

NEXT = (
    ("raworder plan FILE --html batch.html", "pages for shop, kitchen and fridge"),
    ("raworder portion FILE", "what goes into which bag"),
    ("raworder plan FILE --all", "every figure behind this"),
)
NEXT_OF_OWNERS = (("raworder plan FILE --owner NAME", "an owner's bags, days and payments"),)
"""What to do next: a command, and what it gives."""


def first_look(scenario: FedScenario, plan: Plan) -> Document:
    """What it costs and where, the proof, and what is worst of all that is wrong or doubtful; all, for programs."""
    found = doubts(scenario, plan)
    blocks = (
        *_head(scenario, plan),
        *_doubt_blocks(worst_doubts(found), found),
        *_doubt_table(scenario, found),
        *_spare(plan),
    )
    return _paper(scenario, (*blocks, Paragraph(CAUTION)))


def first_screen(scenario: FedScenario, plan: Plan) -> Document:
    """All that a person sees first: the first look, what to buy, what each dog gets, what next."""
    found = doubts(scenario, plan)
    worst = worst_doubts(found)
    blocks: tuple[Block, ...] = (
        *_head(scenario, plan),
        *_doubt_blocks(worst, found),
        *_spare(plan),
        *_order(scenario, plan),
        *_portions(scenario, plan),
        *_beside(scenario, plan),
        next_commands((*NEXT, *(NEXT_OF_OWNERS if any(dog.owner for dog in scenario.dogs) else ()))),
        Paragraph(CAUTION),
    )
    return _paper(scenario, blocks)


def cover(scenario: FedScenario, plan: Plan) -> Document:
    """The first page: what it costs and where, what is worst, what to do when; small, what always holds."""
    found = doubts(scenario, plan)
    always = tuple(f"{entry.bare}." for entry in numbered_cautions(scenario, plan) if not entry.names)
    blocks: tuple[Block, ...] = (
        *_head(scenario, plan),
        *_doubt_blocks(worst_doubts(found), found, "all of them stand with the cautions, among the figures"),
        *_doubt_table(scenario, found),
        *_spare(plan),
        Points("dates", "What next", tuple(_dates(scenario, plan))),
        Points("always", "Always", (f"{HURT}.", *always) if always else (f"{SHOW_IT}.",)),
    )
    return _paper(scenario, blocks)


def _dates(scenario: FedScenario, plan: Plan) -> Iterator[str]:
    """By when to do what."""
    filled = day_text(scenario.portioned_on)
    if any(not is_bought(scenario, plan, bill) for bill in plan.bills):
        yield f"Buy by {day_text(buy_by(scenario, plan))}."
    if plan.bags:
        yield f"Fill {count_text(len(plan.bags), 'bag')} on {filled}."
    yield f"Feed from {days_text(scenario.batch.starts, scenario.batch.ends)}."
    yield f"Order the next batch by {day_text(scenario.batch.order_by)}."


def _paper(scenario: Scenario, blocks: Sequence[Block]) -> Document:
    """A paper that is called as the batch is, with its days."""
    days = days_text(scenario.batch.starts, scenario.batch.ends)
    return paper(scenario, "first_look", f"{scenario.title}: {days}", blocks)


def _head(scenario: FedScenario, plan: Plan) -> Iterator[Block]:
    """Money, and what is proved about it."""
    yield Facts("first_look", tuple(_head_facts(scenario, plan)))
    yield from map(Paragraph, (proof_text(scenario, plan), *plan.remarks))


def _head_facts(scenario: FedScenario, plan: Plan) -> Iterator[Fact]:
    """What is paid, where, and for a dog and day; the budget."""
    facts = {fact.key: fact for fact in money_facts(scenario.as_asked, plan) if fact.key != "budget_left"}
    # what the trips to the suppliers cost stands right behind what is paid to them, where they cost anything
    yield from (facts.pop(key) for key in ("total", "most_to_pay", "suppliers", "trips") if key in facts)
    yield from dog_day_facts(scenario, plan, "A dog and day")
    yield from facts.values()


def _doubt_blocks(
    shown: Sequence[Doubt], found: Sequence[Doubt], where: str = "`raworder plan FILE --paper cautions`"
) -> Iterator[Block]:
    """What is wrong or doubtful, and how many more things are, and `where` those stand."""
    more = len({doubt.key for doubt in found}) - len({doubt.key for doubt in shown})
    rest = (f"{more} more: {where}.",) if more else ()
    if shown:
        yield Points("look_first", LOOK_FIRST, (*(doubt.sentences for doubt in shown), *rest))


def _doubt_table(scenario: Scenario, found: Sequence[Doubt]) -> Iterator[Table]:
    """What is wrong or doubtful, for programs, where anything is."""
    columns = (
        Column("about", "About"),
        Column("grade", "How bad"),
        Column("dogs", "Dogs"),
        Column("says", "What"),
        Column("cure", "Cure"),
        Column("more", f"More {scenario.currency.code}", Holds.MONEY),
    )
    rows = tuple(
        (doubt.key, doubt.grade.value, ", ".join(doubt.dogs), doubt.says, doubt.cure, doubt.more) for doubt in found
    )
    if rows:
        yield Table("doubts", LOOK_FIRST, columns, rows, shown=False)


def _spare(plan: Plan) -> Iterator[Block]:
    """What a little more money would spare."""
    if plan.cures.spare:
        yield Paragraph(f"{capitalised(plan.cures.spare)} (`raworder nicer FILE`).")


def _order(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """What to buy from each supplier."""
    if not plan.lines and not plan.supplement_lines:
        yield Paragraph("Nothing to buy: the freezer holds all that is fed.")
    yield from (_short_order(scenario, plan, bill) for bill in plan.bills)


def _portions(scenario: FedScenario, plan: Plan) -> Iterator[Table]:
    """What each dog gets a day, and under it what the freezer gives and gets."""
    *tables, last = portions_at_a_glance(scenario, plan) or (None,)
    yield from filter(None, tables)
    if last:
        yield replace(last, note=_freezer_text(scenario, plan))


def _freezer_text(scenario: Scenario, plan: Plan) -> str:
    """What comes out of the freezer and what goes back; empty where nothing does."""
    used = [(scenario.on_hand[use.lot].cut, use.used_g) for use in plan.lots_used if use.used_g]
    least_g = scenario.portioning.least_portion_g  # scraps that no bag could hold are not worth a line
    kept = [(leftover.cut, leftover.total_g) for leftover in left(plan) if leftover.total_g >= least_g]
    texts = (_weights_text(scenario, "From the freezer", used), _weights_text(scenario, "Left over", kept))
    return " ".join(filter(None, texts))


def _short_order(scenario: Scenario, plan: Plan, bill: Bill) -> Table:
    """The order from one supplier without its prices, under its total and what is added to the goods."""
    table, money = order_table(scenario, plan, bill), scenario.currency
    columns = tuple(replace(column, shown=column.shown and column.key != "price") for column in table.columns)
    added = (("delivery", bill.delivery), ("sales tax", bill.tax))
    with_these = join_names([f"{money.text(amount)} {what}" for what, amount in added if amount])
    title = f"{table.title}, {money.text(bill.total)}{f' with {with_these}' if with_these else ''}"
    return replace(table, key="", title=title, columns=columns, totals=(), note="")


def _weights_text(scenario: Scenario, what: str, weights: Sequence[tuple[str, int]]) -> str:
    """A sentence on some cuts with their weights, or on how many they are; nothing where there are none."""
    if len(weights) > MOST_LINES:
        together = grams_text(sum(grams for _, grams in weights), scenario.weight_unit)
        return f"{what}: {together} of {count_text(len(weights), 'cut')}."
    texts = [f"{grams_text(grams, scenario.weight_unit)} of {cut}" for cut, grams in weights]
    return f"{what}: {join_names(texts)}." if texts else ""


def _beside(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """What dogs are given beside their bags."""
    given = {dog.name: doses for dog in scenario.dogs if (doses := doses_text(scenario, plan, dog.name))}
    if len(given) > MOST_LINES:
        yield Paragraph(f"{len(given)} dogs get supplements: `raworder plan FILE --paper portioning_list`.")
    elif given:
        yield Points("", "Beside the bags", tuple(f"{dog}: {join_names(doses)}." for dog, doses in given.items()))
