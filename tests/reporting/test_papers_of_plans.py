"""What the papers of every shipped scenario's plan say, held against the plan, whatever their words are.

**Source:** arithmetic on the plan and on the scenario. All names, prices and figures are invented. What a paper looks
like is kept of one scenario in `tests/golden`.
"""

import re
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.rendering.terminal import terminal
from raworder.rendering.values import for_people, plain
from raworder.reporting.bag_book import MOST_DOGS_LISTED
from raworder.trade.cuts import FREEZE_FIRST, Part
from raworder.trade.document import Cell, Column, Document, Facts, Holds, Points, Table, Verbatim
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.trade.units import GRAMS_PER
from tests.planned import EVERY_PLAN, LARGEST, SMALLER, papers_of, planned, rows, tables

every_plan = pytest.mark.parametrize("name", EVERY_PLAN)
SUMMED = frozenset({Holds.GRAMS, Holds.MONEY, Holds.COUNT})
PRINTED_WITH_UNIT = frozenset({Holds.GRAMS, Holds.MONEY, Holds.SHARE, Holds.AMOUNT})
WEIGHT = re.compile(r"(?:(?P<lb>\d+) lb ?)?(?:(?P<oz>\d+(?:\.\d+)?) oz)?|(?P<kg>\d+(?:\.\d+)?) kg|(?P<g>\d+) g")
OUNCE_G = GRAMS_PER["oz"]


def cells(document: Document) -> Iterator[tuple[Table, Column, Cell]]:
    """Every cell that people read."""
    for table in tables(document):
        for row in (*table.rows, *table.totals):
            for column, cell in zip(table.columns, row, strict=True):
                if table.shown and column.shown and cell is not None:
                    yield table, column, cell


def prose(document: Document) -> Iterator[str]:
    """Every sentence, cell of text, heading and note of a paper."""
    yield document.title
    for block in document.blocks:
        match block:
            case Table():
                yield from (block.title, block.note)
                yield from (cell for row in (*block.rows, *block.totals) for cell in row if isinstance(cell, str))
            case Points():
                yield from (block.title, *block.items)
            case Facts():
                yield from (str(one.value) for one in block.items if one.holds is Holds.TEXT)
            case _:
                yield getattr(block, "text", "")


def weight_g(told: str) -> tuple[Fraction, Fraction]:
    """What a printed weight says, and how far off the digits let it be."""
    found = WEIGHT.fullmatch(told)
    assert found, told
    if found["kg"] or found["g"]:
        return Fraction(found["kg"] or 0) * 1000 + Fraction(found["g"] or 0), Fraction(0)
    digits = len((found["oz"] or "").partition(".")[2])
    ounces = 16 * Fraction(found["lb"] or 0) + Fraction(found["oz"] or 0)
    return ounces * OUNCE_G, OUNCE_G / 2 / 10 ** max(digits, 1)


def test_every_scenario_with_a_plan_is_looked_at() -> None:
    kinds = [planned(name).scenario for name in SMALLER]
    assert {scenario.weight_unit for scenario in kinds} == {"kg", "lb"}
    assert any(dog.care for scenario in kinds for dog in scenario.dogs)
    assert any(planned(name).plan.mixes for name in SMALLER)
    assert any(len(planned(name).plan.bills) > 2 for name in SMALLER)
    assert any(planned(name).plan.lots_used for name in SMALLER)
    assert any(bill.tax for name in SMALLER for bill in planned(name).plan.bills)
    assert any(step.at_least > 1 for scenario in kinds for offer in scenario.offers for step in offer.steps)
    assert any(offer.by_weight for scenario in kinds for offer in scenario.offers)


@every_plan
def test_the_last_row_of_a_table_is_the_sum_of_all_others(name: str) -> None:
    for document in papers_of(name).every:
        for table in tables(document):
            for place, column in enumerate(table.columns):
                last = table.totals[0][place] if len(table.totals) == 1 else None
                if column.holds in SUMMED and isinstance(last, int | Decimal):
                    summed = [row[place] for row in table.rows if row[place] is not None]
                    assert sum(summed) == last, (document.key, table.title, column.key)  # type: ignore[arg-type]  # numbers


@every_plan
def test_what_there_is_is_never_printed_as_nothing(name: str) -> None:
    for document in papers_of(name).every:
        for table, column, cell in cells(document):
            if column.holds in PRINTED_WITH_UNIT and not isinstance(cell, str) and cell:
                assert re.search("[1-9]", for_people(document, column.holds, cell)), (document.key, table.title, cell)
        for said in prose(document):
            assert not re.search(r"(?<![\d.,-])0(\.0+)? (g|kg|oz|lb|%|kcal|mg|EUR|USD)\b(?! of bone)", said) or (
                document.key == "batch_cards"  # an empty scale shows it
            ), said


@every_plan
def test_a_printed_weight_is_the_weight_as_near_as_its_digits_tell(name: str) -> None:
    for document in papers_of(name).every:
        for table, column, cell in cells(document):
            if column.holds is Holds.GRAMS and isinstance(cell, int):
                told, off = weight_g(for_people(document, Holds.GRAMS, cell))
                assert abs(told - cell) <= off, (document.key, table.title, cell)


def test_every_weight_is_in_pounds_and_ounces_where_people_read_pounds() -> None:
    assert planned("pounds").scenario.weight_unit == "lb"
    for document in papers_of("pounds").every:
        for line in terminal([document], width=3000, color=False).splitlines():
            assert "per 1000 kcal" in line or not re.search(r"\d k?g\b", line), line
    assert not re.search(r"\d (oz|lb)\b", terminal(papers_of("owner").every, width=3000, color=False))


@every_plan
def test_the_papers_come_in_the_order_of_use(name: str) -> None:
    keys = ["first_look", "summary", "shopping_list", "portioning_list", "shares", "costs", "cautions"]
    assert [one.key for one in papers_of(name).order] == keys
    of_bags = ["kitchen", "fridge_door", "kennels", "counter_sheet", "bag_list", "batch_cards", "weeks", "thaw_plan"]
    of_bags.append("freezing")
    found = [one.key for one in papers_of(name).bags]
    assert found == [key for key in of_bags if key in found]
    assert set(of_bags) - set(found) <= {"batch_cards", "weeks", "kennels"}
    assert ("kennels" in found) is (len(planned(name).scenario.dogs) > MOST_DOGS_LISTED)
    assert ("batch_cards" in found) is bool(planned(name).plan.mixes)


@every_plan
def test_every_line_is_on_the_shopping_list_once_under_its_supplier_with_amount_and_price(name: str) -> None:
    scenario, plan = planned(name).scenario, planned(name).plan
    listed = rows(papers_of(name).of("shopping_list"), "order")
    offers = {offer.key: offer for offer in scenario.offers}
    due = Counter((offers[line.offer].supplier, offers[line.offer].cut, line.units, line.goods) for line in plan.lines)
    due += Counter(_supplement_lines(scenario, plan))
    assert Counter((row["supplier"], row["cut"], row["units"], row["goods"]) for row in listed) == due
    for line in plan.lines:
        offer, step = offers[line.offer], offers[line.offer].step_for(line.units)
        (row,) = (one for one in listed if (one["supplier"], one["cut"], one["units"], one["goods"]) == (
            offer.supplier, offer.cut, line.units, line.goods) and one["item_name"] == offer.item)  # fmt: skip
        assert (row["weight_g"], row["listed_price"]) == (offer.grams(line.units), step.listed)
        assert offer.cut in str(row["item"]) or offer.item in str(row["item"])
        assert f"{step.listed:f} per {step.per.removeprefix('per ')}" in str(row["price"])
        assert (", from " in str(row["price"])) is (step.at_least > 1)
        _is_amount(str(row["to_buy"]), line.units, offer.grams(line.units), offer.grams(1), by_weight=offer.by_weight)


def _supplement_lines(scenario: Scenario, plan: Plan) -> Iterator[tuple[str, str, int, Decimal]]:
    sold = {offer.key: offer for offer in scenario.supplement_offers}
    for line in plan.supplement_lines:
        yield sold[line.offer].supplier, sold[line.offer].supplement, line.units, line.goods


def _is_amount(told: str, units: int, grams: int, unit_g: int, *, by_weight: bool) -> None:
    """Packs are counted and their weight is told; what is cut to order is told by weight."""
    if by_weight:
        weight, off = weight_g(told.removesuffix(" by weight"))
        assert abs(weight - grams) <= off, told
    else:
        count, of = re.fullmatch(r"(\d+) packs? of (?:about )?(.+)", told).groups()  # type: ignore[union-attr]  # or it fails
        weight, off = weight_g(of)
        assert (int(count), abs(weight - unit_g) <= off) == (units, True), told


@every_plan
def test_goods_delivery_and_tax_make_what_is_paid_and_are_the_bills(name: str) -> None:
    found, papers = planned(name), papers_of(name)
    bills = {bill.supplier: bill for bill in found.plan.bills}
    for table in tables(papers.of("shopping_list"), "order"):
        bill = bills[table.title]
        sums = [row[3] for row in table.totals]
        goods = sum((row[3] for row in table.rows), Decimal(0))  # type: ignore[misc]  # money
        assert (goods, sums[-1]) == (bill.goods, bill.total)
        assert len(sums) == 1 or sum(sums[:-1]) == sums[-1]  # type: ignore[arg-type]  # money
    costs = rows(papers.of("costs"), "by_supplier")
    assert [(row["supplier"], row["goods"], row["delivery"], row["tax"], row["total"]) for row in costs] == [
        (bill.supplier, bill.goods, bill.delivery, bill.tax, bill.total) for bill in found.plan.bills
    ]
    (total,) = (one.value for one in papers.of("summary").blocks[0].items if one.key == "total")  # type: ignore[union-attr]  # facts
    assert total == sum(bill.total for bill in bills.values())


@every_plan
def test_a_message_asks_each_supplier_for_all_of_its_lines_and_for_nothing_else(name: str) -> None:
    scenario, plan = planned(name).scenario, planned(name).plan
    message = papers_of(name).of("order_message")
    told = [block for block in message.blocks if isinstance(block, Verbatim)]
    assert [block.title for block in told] == [bill.supplier for bill in plan.bills]
    offers = {offer.key: offer for offer in scenario.offers}
    for block, bill in zip(told, plan.bills, strict=True):
        mine = [line for line in plan.lines if offers[line.offer].supplier == bill.supplier]
        beside = [one for one in _supplement_lines(scenario, plan) if one[0] == bill.supplier]
        asked = block.text.splitlines()[1 : 1 + len(mine) + len(beside)]
        for line, words in zip(mine, asked, strict=False):
            offer = offers[line.offer]
            assert offer.item in words or offer.cut in words
            assert (offer.code in words) if offer.code else True
            assert offer.by_weight or re.match(rf"{line.units} x ", words)
        assert f"{bill.total:.{scenario.currency.digits}f} {scenario.currency.code}" in block.text
    assert plain(message).count("Order for ") == len(plan.bills)


FROM_FREEZER = ("cut", "used_g", "lot_g", "frozen_on", "owner")


@every_plan
def test_what_the_freezer_gives_and_gets_is_that_of_the_plan(name: str) -> None:
    found, papers = planned(name), papers_of(name)
    for document in (papers.of("shopping_list"), *(one for one in papers.page if one.key == "freezer")):
        back = rows(document, "back_to_freezer")
        assert [(row["cut"], row["left_g"], row["worth"]) for row in back] == [
            (left.cut, left.total_g, left.worth) for left in found.plan.leftovers
        ]
        taken = rows(document, "from_freezer")
        lots = found.scenario.on_hand
        assert Counter(tuple(row[key] for key in FROM_FREEZER) for row in taken) == Counter(
            (lots[use.lot].cut, use.used_g, lots[use.lot].grams, lots[use.lot].frozen_on, lots[use.lot].owner)
            for use in found.plan.lots_used
        )
        days = [str(row["frozen_on"] or "") for row in taken]
        assert days == sorted(days)


@every_plan
def test_one_leftover_is_worth_the_same_on_all_papers(name: str) -> None:
    """Among the costs tax, delivery and supplements come on top; where there are none, it is just the same."""
    found, papers = planned(name), papers_of(name)
    worth = sum((left.worth for left in found.plan.leftovers), Decimal(0))
    charged = sum((bill.tax + bill.delivery for bill in found.plan.bills), Decimal(0))
    borne = [row["cost"] for row in rows(papers.of("costs"), "by_dog") if str(row["dog"]).startswith("left over")]
    least = borne[0] if borne else Decimal(0)
    if found.scenario.supplement_offers:
        return
    assert (least == worth) if not charged else (worth <= least <= worth + charged)  # type: ignore[operator]  # money
    settled = [one for one in papers.others if one.key == "settle"]
    for document in settled:
        shares = [row["left_over"] for row in rows(document, "by_owner")]
        assert sum(Decimal(str(share)) for share in shares) == worth


@every_plan
def test_everything_adds_up_cut_by_cut(name: str) -> None:
    found = planned(name)
    fed: Counter[str] = Counter()
    for portion in found.plan.portions:
        fed[portion.cut] += portion.batch_g
    listed = rows(papers_of(name).of("portioning_list"), "balance")
    for row in listed:
        there = int(str(row["on_hand_g"])) + int(str(row["bought_g"]))
        assert there == fed[str(row["cut"])] + int(str(row["left_g"])), row
        assert row["fed_g"] == fed[str(row["cut"])]
    assert {str(row["cut"]) for row in listed} >= set(fed)


@every_plan
def test_every_dog_stands_on_every_paper_that_is_about_dogs(name: str) -> None:
    found, papers = planned(name), papers_of(name)
    eating = [dog.name for dog in found.scenario.dogs if dog.batch_g]
    portions = rows(papers.of("portioning_list"), "portions")
    assert [(row["dog"], row["cut"], row["batch_g"]) for row in portions] == [
        (portion.dog, portion.cut, portion.batch_g) for portion in found.plan.portions
    ]
    printed = " ".join(table.title for table in tables(papers.of("portioning_list"), ""))
    for dog in found.scenario.dogs:
        mine = [row for row in portions if row["dog"] == dog.name]
        assert sum(int(str(row["batch_g"])) for row in mine) == dog.batch_g
        assert dog.name in printed or not dog.batch_g
    costs = rows(papers.of("costs"), "by_dog")
    assert [row["dog"] for row in costs][: len(found.scenario.dogs)] == [dog.name for dog in found.scenario.dogs]
    assert sum(Decimal(str(row["cost"])) for row in costs) == found.plan.total
    assert list(dict.fromkeys(row["dog"] for row in rows(papers.of("shares"), "parts"))) == eating


@every_plan
def test_owners_bear_together_what_is_paid(name: str) -> None:
    found, papers = planned(name), papers_of(name)
    owned = rows(papers.of("costs"), "by_owner")
    assert bool(owned) is any(dog.owner for dog in found.scenario.dogs)
    if owned:
        assert sum(Decimal(str(row["all_in"] or 0)) for row in owned) == found.plan.total
        dogs = {dog.name for dog in found.scenario.dogs}
        assert {one for row in owned for one in str(row["dogs"] or "").split(", ") if one} == dogs


@every_plan
def test_shares_are_those_of_the_portions_and_inside_what_is_asked(name: str) -> None:
    scenario, plan = planned(name).scenario, planned(name).plan
    cuts = {cut.name: cut for cut in scenario.cuts}
    dogs = {dog.name: dog for dog in scenario.dogs}
    for row in rows(papers_of(name).of("shares"), "parts"):
        dog = dogs[str(row["dog"])]
        part, mine = Part(str(row["part"])), [one for one in plan.portions if one.dog == dog.name]
        held = sum((cuts[one.cut].part_share(part) * one.batch_g for one in mine), Fraction(0))
        assert row["given_share"] == held / dog.batch_g
        if dog.care:
            assert (row["asked"], row["low_share"]) == ("no range", None)
        else:
            low, high = Fraction(str(row["low_share"])), Fraction(str(row["high_share"]))
            off = Fraction(2, dog.batch_g)  # whole grams; of pieces shared out among many the audit knows the measure
            inside = low - off <= held / dog.batch_g <= high + off
            assert scenario.shares_pieces or (inside and "too " not in str(row["room"]))


@every_plan
def test_a_dog_in_care_gets_what_was_given_for_it_and_no_verdict(name: str) -> None:
    scenario, plan, papers = planned(name).scenario, planned(name).plan, papers_of(name)
    notes = {table.title: table.note for table in tables(papers.of("portioning_list"), "")}
    for dog in scenario.dogs:
        if dog.care:
            assert {one.cut: one.batch_g for one in plan.portions if one.dog == dog.name} == {
                one.cut: one.batch_g for one in dog.vet_amounts
            }
            mine = [note for title, note in notes.items() if dog.name in title]
            assert all("veterinarian" in note and not note.startswith("Ration") for note in mine)
            assert mine
            energy = [one.value for one in papers.of("summary").blocks[0].items if one.key == "energy"]  # type: ignore[union-attr]  # facts
            assert all(dog.name not in str(words) for words in energy)


@pytest.mark.slow
@every_plan
def test_food_is_told_as_a_share_of_the_weight_that_the_need_is_reckoned_by(name: str) -> None:
    """Beside a need of the ideal weight stands a share of the ideal weight."""
    told = [said for one in papers_of(name).every for said in prose(one)]
    for dog in planned(name).scenario.dogs:
        weight = "its ideal weight" if dog.ideal_weight_g else "its weight"
        mine = [said for said in told if re.search(rf"\b{dog.name}\b", said) and re.search(r"% of its .*weight", said)]
        for said in mine:
            if (
                found := re.search(rf"{dog.name} gets [^.]*?, ([\d.]+) % of (its ideal weight|its weight)", said)
            ) is not None:
                assert found[2] == weight
                assert abs(Fraction(found[1]) / 100 - Fraction(dog.daily_g) / dog.need_weight_g) <= Fraction(1, 2000)


@every_plan
def test_ration_sheets_tell_food_as_a_share_of_the_same_weight_as_the_need(name: str) -> None:
    dogs = {dog.name: dog for dog in planned(name).scenario.dogs}
    for sheet in papers_of(name).page:
        dog = dogs.get(sheet.title.removeprefix("Ration sheet: "))
        if dog is not None and dog.care is None:
            (energy,) = (said for said in prose(sheet) if " kcal a day are fed" in said)
            found = re.search(r"fed.*?([\d.]+) % of (its ideal weight|its weight)\b", energy)
            resting = re.search(r"At rest a dog of (its ideal weight|this weight)", energy)
            assert found
            assert resting
            assert abs(Fraction(found[1]) / 100 - Fraction(dog.daily_g) / dog.need_weight_g) <= Fraction(1, 2000)
            assert ("ideal" in found[2]) is ("ideal" in resting[1]) is bool(dog.ideal_weight_g)


@every_plan
def test_every_caution_of_what_is_fed_is_in_the_appendix_and_its_cuts_are_named_for_programs(name: str) -> None:
    scenario, plan = planned(name).scenario, planned(name).plan
    fed = {portion.cut for portion in plan.portions if portion.batch_g}
    paper = papers_of(name).of("cautions")
    (reasons,) = (block for block in paper.blocks if isinstance(block, Points) and block.key == "reasons")
    cuts_of = {row["key"]: str(row["about"]).split("; ") for row in rows(paper, "cautions")}
    hazards = {caution.key: caution.hazard for caution in scenario.cautions}
    # what comes frozen for long enough has nothing more asked of it
    to_freeze = {pair for journey in plan.facts.cold.journeys for pair in journey.freeze_first}
    called_for: dict[str, set[str]] = {}
    for cut in scenario.cuts:
        for key in cut.cautions if cut.name in fed else ():
            if key not in FREEZE_FIRST or (cut.name, key) in to_freeze:
                called_for.setdefault(key, set()).add(cut.name)
    assert called_for
    # a day against Neospora is no rule of ours: what came frozen needs it no more
    called_for["neospora"] = called_for.get("neospora", set()) & set(cuts_of.get("neospora", ()))
    for key, cuts in called_for.items():
        assert any(hazards[key] in reason for reason in reasons.items) is bool(cuts), key
        assert set(cuts_of.get(key, ())) == cuts
    assert not set(FREEZE_FIRST) & set(cuts_of) - set(called_for)


@every_plan
def test_an_order_asks_for_at_most_five_things_to_be_done_each_told_where_it_is_done(name: str) -> None:
    found = papers_of(name)
    asked = {block.key: block.items for block in found.of("cautions").blocks if isinstance(block, Points)}
    lines, places = asked.get("this_order", ()), _places(found.of("cautions"))
    assert len(lines) == len(places) <= 5
    in_shop = [line for line in lines if line.startswith("In the shop. ")]
    at_counter = [
        line
        for line in lines
        if re.match(r"(In the freezer, before bags are filled|At the counter|In the bowl)\. ", line)
    ]
    assert [line for line in prose(found.of("shopping_list")) if line in lines] == in_shop
    assert [line for line in prose(found.of("counter_sheet")) if line in lines] == at_counter
    assert len(in_shop) + len(at_counter) == len(lines) - ("home" in places)
    assert len(asked["always"]) == 6


def _places(cautions: Document) -> set[object]:
    """The places where something is done about a cut or dog."""
    return {row["place"] for row in rows(cautions, "cautions") if row["about"]}


@every_plan
def test_only_the_notice_says_to_see_a_veterinarian(name: str) -> None:
    cautions = papers_of(name).of("cautions")
    said = [item for block in cautions.blocks if isinstance(block, Points) for item in block.items
            if block.key != "nourishment" and re.search(r"veterinarian\b", item) and "Source" not in item]  # fmt: skip
    assert [item for item in said if not item.startswith("[")] == said
    assert len(said) == 1


@every_plan
def test_numbers_in_the_cautions_are_those_of_the_appendix(name: str) -> None:
    blocks = {block.key: block for block in papers_of(name).of("cautions").blocks if isinstance(block, Points)}
    told = [int(number) for key, block in blocks.items() if key != "reasons" for item in block.items
            for number in re.findall(r"\[(\d+)\]", item)]  # fmt: skip
    listed = [int(item[1 : item.index("]")]) for item in blocks["reasons"].items]
    assert listed == list(range(1, len(listed) + 1))
    assert set(told) == set(listed)
    in_lines = [number for item in blocks["this_order"].items for number in re.findall(r"\[(\d+)\]", item)]
    assert list(dict.fromkeys(map(int, in_lines))) == listed[: len(set(in_lines))]


def test_the_largest_scenario_is_among_the_slow_ones() -> None:
    assert LARGEST not in SMALLER
