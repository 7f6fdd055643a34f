"""The following scenario: it is read without a mistake, changes what it must, and leaves alone what a person wrote.

**Source:** the shipped scenarios, held against what becomes of them; prices and leftovers here are invented.
"""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.reading.newer_lists import newer_list
from raworder.reading.scenario_file import read_scenario_text
from raworder.studies.roll_on import News, RolledOn, dogs_to_weigh, restore_asked, roll_on
from raworder.trade.kept import BatchAccount, EntryKind, KeptBag, Loss, Lot, NewLot, PartGot, Stock, Weighing
from raworder.trade.scenario import Scenario
from tests.planned import LARGEST, NAMES, SCENARIOS, SLOW

FILES = [pytest.param(name, marks=pytest.mark.slow) if name in {LARGEST, *SLOW} else name for name in NAMES]
OWNER_FILE = SCENARIOS / "owner.yaml"
HOUSEHOLD_FILE = SCENARIOS / "household.yaml"


def read(text: str, path: Path = OWNER_FILE) -> Scenario:
    reading = read_scenario_text(text, path)
    assert reading.scenario is not None, reading.findings
    return reading.scenario


def a_lot(cut: str, grams: int, number: int = 1, owner: str = "", frozen: date | None = date(2027, 1, 30)) -> Lot:
    nothing = Decimal(0)
    return Lot(number, 1, cut, grams, grams, nothing, nothing, "EUR", date(2027, 2, 5), frozen, owner=owner)


def an_account(scenario: Scenario, lots: Iterable[NewLot] = (), shares: Iterable[PartGot] = ()) -> BatchAccount:
    batch = scenario.batch
    return BatchAccount(
        "270206-AAAA", scenario.title, scenario.currency.code, batch.starts, batch.days, 3, scenario.portioned_on,
        lots=tuple(lots), shares=tuple(shares),
    )  # fmt: skip


def some_news(scenario: Scenario, account: BatchAccount | None = None, lots: Iterable[Lot] = ()) -> News:
    stock = Stock(scenario.batch.ends, tuple(lots), (), scenario.currency.code)
    accounts = (account,) if account else ()
    return News(scenario.batch.ends + timedelta(1), stock, True, account, accounts)


def busy_news(scenario: Scenario) -> News:
    """Everything changes: a fifth dearer, something left of every cut, the end above of every range, dogs weighed."""
    lots = [
        NewLot(
            offer.cut, offer.grams(4) + 40, 0, 4,
            scenario.currency.rounded(offer.step_for(4).unit_price * 4 * Fraction(6, 5)), Decimal(0),
            offer.supplier, offer.item, offer.code,
        )
        for offer in scenario.offers
    ]  # fmt: skip
    shares = [
        PartGot(dog.name, target.part, target.high, target.low, target.high)
        for dog in scenario.dogs
        for target in dog.targets
    ]
    left = [a_lot(cut.name, 300 + place, place) for place, cut in enumerate(scenario.cuts)]
    weighings = tuple(Weighing(dog.name, scenario.batch.ends, dog.weight_g + 400) for dog in scenario.dogs)
    return replace(some_news(scenario, an_account(scenario, lots, shares), left), weighings=weighings)


def rolled(text: str, news: News | None = None, path: Path = OWNER_FILE) -> RolledOn:
    scenario = read(text, path)
    return roll_on(text, scenario, news or some_news(scenario))


@pytest.mark.parametrize("name", FILES)
def test_whatever_happened_the_next_scenario_is_read_and_begins_when_the_last_ends(name: str) -> None:
    path = SCENARIOS / f"{name}.yaml"
    text = path.read_text(encoding="utf-8")
    before = read(text, path)
    for news in (some_news(before), busy_news(before)):
        after = read(roll_on(text, before, news).text, path)
        assert after.batch.starts == before.batch.ends + timedelta(1)
        assert after.portioned_on - before.portioned_on == after.batch.starts - before.batch.starts
        assert [dog.name for dog in after.dogs] == [dog.name for dog in before.dogs]
        assert len(after.offers) == len(before.offers)


@pytest.mark.parametrize("name", FILES)
def test_what_a_person_wrote_stays_to_the_letter_but_on_lines_that_change(name: str) -> None:
    path = SCENARIOS / f"{name}.yaml"
    text = path.read_text(encoding="utf-8")
    after = rolled(text, busy_news(read(text, path)), path).text.splitlines()
    heads = [line for line in text.splitlines() if line.lstrip().startswith("#") or not line.strip()]
    kept = [line for line in after if line in heads]
    assert kept == heads
    assert [line for line in text.splitlines() if line in after] == [
        line for line in after if line in text.splitlines()
    ]


@pytest.mark.parametrize("name", FILES)
def test_rolled_on_once_more_nothing_of_ours_piles_up_and_carried_ranges_are_those_asked_for_again(name: str) -> None:
    path = SCENARIOS / f"{name}.yaml"
    text = path.read_text(encoding="utf-8")
    before = read(text, path)
    once = restore_asked(roll_on(text, before, busy_news(before)).text)
    assert "#>" not in once
    asked = read(once, path)
    assert [(dog.targets, dog.caps) for dog in asked.dogs] == [(dog.targets, dog.caps) for dog in before.dogs]
    twice = roll_on(once, asked, busy_news(asked)).text
    assert twice.count("#> rolled on") == 1
    assert len(twice.splitlines()) <= len(roll_on(text, before, busy_news(before)).text.splitlines()) + 1


def test_what_the_book_has_is_on_hand_with_its_days_and_owners() -> None:
    text = HOUSEHOLD_FILE.read_text(encoding="utf-8")
    lots = (
        a_lot("turkey neck (bone 42 %)", 700, 12),
        a_lot("lamb neck", 400, 13, owner="Ines", frozen=None),
        a_lot("market mix", 500, 14),
        a_lot("kale", 9, 15),
        a_lot("goat leg of a neighbour", 500, 16),
        a_lot("kale", 50, 17, owner="Rowan"),
    )
    before = read(text, HOUSEHOLD_FILE)
    found = roll_on(text, before, some_news(before, lots=lots))
    held = {(lot.cut, lot.grams, lot.owner, lot.frozen_on) for lot in read(found.text, HOUSEHOLD_FILE).on_hand}
    day = date(2027, 1, 30)
    assert held == {
        ("turkey neck (bone 42 %)", 700, "", day),
        ("lamb neck", 400, "Ines", None),
        ("market mix", 500, "", day),
    }
    assert "# from the book, lot 12" in found.text
    assert sum("left out" in what for what in found.to_do) == 2


def test_where_the_book_is_asked_each_time_the_file_only_says_what_there_is() -> None:
    text = OWNER_FILE.read_text(encoding="utf-8")
    before = read(text)
    asks = text.replace("on_hand:\n  - {cut: beef heart, weight: 350 g, frozen: 2027-01-09}\n", "on_hand: book\n")
    found = roll_on(asks, before, some_news(before, lots=[a_lot("beef heart", 120, 4)]))
    assert "#> on Fri 19 Feb the book has: 120 g of beef heart, lot 4\non_hand: book\n" in found.text


def bought(cut: str, units: int, grams: int, goods: str, supplier: str = "Hollow Lane Butcher") -> NewLot:
    return NewLot(cut, grams, 0, units, Decimal(goods), Decimal(goods), supplier, cut.partition(" (")[0])


@pytest.mark.parametrize(
    ("lot", "line"),
    [
        (bought("chicken neck", 4, 4000, "10.40"), "{cut: chicken neck,  pack: 1 kg,   price: 2.60}"),
        (
            bought("beef trim (fat 12 %)", 98, 4900, "31.85"),
            "{cut: beef trim,     price: 6.50 per kg, step: 50 g, fat: 12 %}",
        ),
        (
            bought("turkey thigh boneless", 5, 5000, "23.50", "Fenwick Market Stall"),
            "{cut: turkey thigh boneless, pack: 1 kg, price: 5.40, price_breaks: [{from: 4, price: 4.70}]}",
        ),
    ],
)
def test_a_price_that_was_paid_replaces_the_one_it_was_paid_for(lot: NewLot, line: str) -> None:
    text = OWNER_FILE.read_text(encoding="utf-8")
    before = read(text)
    after = rolled(text, some_news(before, an_account(before, [lot]))).text
    assert line in after
    assert after.count("#> paid ") == 1


@pytest.mark.parametrize(
    "lot",
    [
        bought("chicken neck", 4, 4000, "9.60"),
        bought("chicken neck", 4, 4000, "9.61"),  # a cent is rounding
        bought("chicken neck", 4, 4000, "10.40", "Somebody else"),
        bought("beef kidney", 5, 250, "0.90"),
    ],
)
def test_a_price_that_was_paid_as_listed_or_elsewhere_stays(lot: NewLot) -> None:
    text = OWNER_FILE.read_text(encoding="utf-8")
    before = read(text)
    assert "#> paid" not in rolled(text, some_news(before, an_account(before, [lot]))).text


def test_a_price_below_that_from_an_amount_on_is_only_said() -> None:
    text = OWNER_FILE.read_text(encoding="utf-8")
    before = read(text)
    lot = bought("turkey thigh boneless", 2, 2000, "9.00", "Fenwick Market Stall")
    after = rolled(text, some_news(before, an_account(before, [lot]))).text
    assert "#> paid 4.50 on Fri 5 Feb; 5.40 on the list: left as it is" in after
    assert "price: 5.40, price_breaks: [{from: 4, price: 4.90}]" in after


CATCH = """\
currency: EUR
batch: {starts: 2027-02-06, days: 7}
dogs:
  - {name: Maple, weight: 20 kg, ration: 2.5 %, targets: {muscle: 80 % to 100 %}}
cuts:
  - {cut: turkey thigh boneless, pack: about 2.3 kg, price: 5.40 per kg}
"""


def test_what_packs_really_weighed_is_proposed_and_not_taken() -> None:
    before = read(CATCH)
    offer = before.offers[0]
    lot = NewLot(offer.cut, 7200, 0, 3, Decimal("38.88"), Decimal("38.88"), offer.supplier, offer.item)
    after = rolled(CATCH, some_news(before, an_account(before, [lot]))).text
    assert "#> 3 packs weighed 2.4 kg on average: write `pack: about 2.4 kg` if that is to count" in after
    assert "{cut: turkey thigh boneless, pack: about 2.3 kg, price: 5.40 per kg}" in after
    few = replace(lot, grams=4800, units=2, goods=Decimal("25.92"))
    assert "average" not in rolled(CATCH, some_news(before, an_account(before, [few]))).text


def test_much_that_was_lost_is_told_and_nothing_is_changed_for_it() -> None:
    before = read(CATCH)
    cut = before.offers[0].cut
    news = some_news(before)
    much = rolled(CATCH, replace(news, losses=(Loss(cut, 7_000, 420), Loss("duck neck", 1_000, 500))))
    (said,) = much.to_do
    assert said.startswith(
        f"6 % of the {cut} bought for the last batches was not there when you counted (420 g of 7 kg)"
    )
    assert much.text == rolled(CATCH, replace(news, losses=(Loss(cut, 7_000, 200),))).text == rolled(CATCH, news).text


GROWING = """\
currency: EUR
batch: {starts: 2027-02-06, days: 7}
dogs:
  - name: Clover
    weight: 14 kg  # at the clinic
    puppy: yes
    adult_weight: 30 kg
    weight_by_end: 15 kg
    ration: 5 %
    targets: BARF
    away: [2027-02-08, 2027-02-12 to 2027-02-13, 2027-02-15]
  - {name: Old Fern, weight: 11 kg, care: ill, vet_amounts: {kale: 40 g}}
cuts:
  - {cut: kale, price: 3.00 per kg}
"""


def test_a_growing_dog_is_to_be_weighed_where_nobody_has() -> None:
    before = read(GROWING)
    assert dogs_to_weigh(GROWING, before, ()) == (("Clover", "14 kg"),)
    found = rolled(GROWING)
    assert "    weight: 14 kg  # at the clinic\n" in found.text
    assert "weigh Clover: 14 kg is of the last batch" in found.to_do
    assert "weight_by_end: 15 kg" not in found.text
    assert "write the new `weight_by_end` of Clover; it was 15 kg" in found.to_do


def test_a_growing_dog_that_was_weighed_or_asked_about_has_its_new_weight() -> None:
    before = read(GROWING)
    weighed = replace(some_news(before), weighings=(Weighing("Clover", date(2027, 2, 11), 14_900),))
    assert dogs_to_weigh(GROWING, before, weighed.weighings) == ()
    assert "weight: 14.9 kg  # at the clinic" in rolled(GROWING, weighed).text
    typed = replace(some_news(before), weights={"Clover": "15.2 kg"})
    assert "weight: 15.2 kg  # at the clinic" in rolled(GROWING, typed).text


def test_where_weights_are_in_pounds_a_new_weight_is_too() -> None:
    text = GROWING.replace("batch:", "units: lb\nbatch:").replace("14 kg", "31 lb").replace("15 kg", "33 lb")
    weighed = (Weighing("Clover", date(2027, 2, 11), 14_900),)  # 14900 / 453.592 = 32.849
    assert "weight: 32.85 lb  # at the clinic" in rolled(text, replace(some_news(read(text)), weighings=weighed)).text


@pytest.mark.parametrize(("ration", "asks"), [("700 g", True), ("900 kcal", True), ("5 %", False)])
def test_a_ration_that_does_not_grow_with_the_dog_is_asked_about(ration: str, asks: bool) -> None:
    text = GROWING.replace("ration: 5 %", f"ration: {ration}").replace("    weight_by_end: 15 kg\n", "")
    found = rolled(text, replace(some_news(read(text)), weights={"Clover": "16 kg"}))
    assert ("ask the veterinarian what Clover needs at its new weight" in found.to_do) is asks


def test_a_weighing_from_before_the_last_batch_is_no_news() -> None:
    before = read(GROWING)
    assert dogs_to_weigh(GROWING, before, (Weighing("Clover", date(2027, 2, 5), 13_900),)) != ()


def test_days_away_that_are_over_go_and_those_to_come_stay() -> None:
    assert "    away: [2027-02-12 to 2027-02-13, 2027-02-15]\n" in rolled(GROWING).text
    later = replace(some_news(read(GROWING)), starts=date(2027, 2, 14))
    assert "    away: [2027-02-15]\n" in rolled(GROWING, later).text
    assert "    away" not in rolled(GROWING, replace(later, starts=date(2027, 2, 16))).text
    assert "Clover is no longer away" in rolled(GROWING).dogs


def test_nothing_is_changed_for_a_dog_in_care() -> None:
    before = read(GROWING)
    found = rolled(GROWING, replace(busy_news(before), weights={"Old Fern": "12 kg"}))
    assert "  - {name: Old Fern, weight: 11 kg, care: ill, vet_amounts: {kale: 40 g}}\n" in found.text
    assert "ask the veterinarian whether the amounts of Old Fern still hold" in found.to_do


def a_bag(label: int, dog: str, feed_on: date, fate: EntryKind | None = EntryKind.KEPT) -> KeptBag:
    return KeptBag(label, 1, "270206-AAAA", label, dog, "", feed_on, 1, date(2027, 2, 5), (("kale", 200),), fate=fate)


def test_bags_that_were_kept_are_fed_first_and_the_dog_gets_no_others_on_those_days() -> None:
    text = OWNER_FILE.read_text(encoding="utf-8")
    before = read(text)
    bags = (a_bag(12, "Maple", date(2027, 2, 17)), a_bag(13, "Maple", date(2027, 2, 18)))
    fed = a_bag(14, "Maple", date(2027, 2, 19), fate=None)
    news = replace(some_news(before), stock=Stock(date(2027, 2, 19), (), (*bags, fed), "EUR"))
    found = rolled(text, news)
    after = read(found.text)
    assert [dog.days for dog in after.dogs] == [12, 14]
    assert "#> not away: it eats bags 12-13 of the last batch, Sat 20 to Sun 21 Feb" in found.text


@pytest.mark.parametrize("held", ["chicken neck", "chicken neck (bone 40 %)", "what nobody knows"])
def test_kept_bags_that_hold_what_a_dog_must_not_eat_by_now_are_not_fed_to_it(held: str) -> None:
    text = OWNER_FILE.read_text(encoding="utf-8")
    avoiding = text.replace("ration: 965 kcal", "ration: 965 kcal, avoid: [chicken]")
    assert avoiding != text
    before = read(avoiding)
    bags = (
        a_bag(12, "Maple", date(2027, 2, 17)),
        replace(a_bag(13, "Maple", date(2027, 2, 18)), contents=((held, 9),)),
    )
    news = replace(some_news(before), stock=Stock(date(2027, 2, 19), (), bags, "EUR"))
    found = rolled(avoiding, news)
    assert read(found.text).dogs[0].days == 13
    hold = "bag 13 of the last batch holds what Maple must not eat, or what nobody knows"
    assert f"#> {hold}" in found.text
    assert f"{hold}: do not feed it that" in found.to_do


def test_kept_bags_of_a_dog_in_care_are_for_its_veterinarian_to_decide() -> None:
    before = read(GROWING)
    bag = a_bag(9, "Old Fern", date(2027, 2, 12))
    found = rolled(GROWING, replace(some_news(before), stock=Stock(date(2027, 2, 12), (), (bag,), "EUR")))
    assert "#> bag 9 is kept: ask the veterinarian before it is fed" in found.text


def test_ranges_are_carried_within_those_asked_for_and_not_for_dogs_that_grow_or_are_in_care() -> None:
    text = HOUSEHOLD_FILE.read_text(encoding="utf-8")
    before = read(text, HOUSEHOLD_FILE)
    after = read(rolled(text, busy_news(before), HOUSEHOLD_FILE).text, HOUSEHOLD_FILE)
    for was, now in zip(before.dogs, after.dogs, strict=True):
        ends = {target.part: (target.low, target.high) for target in was.targets}
        assert all(ends[target.part][0] <= target.low <= target.high <= ends[target.part][1] for target in now.targets)
        assert (was.targets != now.targets) == (not was.puppy and was.care is None)


def test_the_ranges_asked_for_come_back_under_another_name_too() -> None:
    text = OWNER_FILE.read_text(encoding="utf-8")
    before = read(text)
    renamed = roll_on(text, before, busy_news(before)).text.replace("name: Maple,", "name: Mabel,")
    asked = read(restore_asked(renamed))
    assert [dog.name for dog in asked.dogs] == ["Mabel", "Juniper"]
    assert [dog.targets for dog in asked.dogs] == [dog.targets for dog in before.dogs]


def test_ranges_asked_for_come_back_to_the_right_one_of_dogs_on_one_line() -> None:
    one_line = (
        "currency: EUR\nbatch: {starts: 2027-02-06, days: 7}\n"
        "dogs: [{name: Maple, weight: 20 kg, ration: 2.5 %, targets: {bone: 8 % to 16 %, muscle: 60 % to 100 %}}, "
        "{name: Clover, weight: 9 kg, puppy: yes, ration: 5 %, targets: BARF}]\ncuts:\n"
        "  - {cut: chicken neck, price: 3.00 per kg}\n"
    )
    before = read(one_line)
    rolled_on = roll_on(one_line, before, busy_news(before)).text
    assert rolled_on.count("#> carried for Maple") == 1
    asked = read(restore_asked(rolled_on))
    assert [dog.targets for dog in asked.dogs] == [dog.targets for dog in before.dogs]


def test_nothing_is_carried_where_that_is_not_wanted() -> None:
    text = OWNER_FILE.read_text(encoding="utf-8")
    found = rolled(text, replace(busy_news(read(text)), carries=False))
    assert found.carried == ()
    assert "pattern" not in found.text


def test_a_newer_list_is_named_and_not_taken(tmp_path: Path) -> None:
    for name in ("northfold-2027-02.csv", "northfold-2027-03.csv", "northfold-2026-12.csv", "quayside-2027-09.csv"):
        (tmp_path / name).touch()
    assert newer_list(tmp_path, "northfold-2027-02.csv") == "northfold-2027-03.csv"
    assert newer_list(tmp_path, "northfold-2027-03.csv") == ""
    for name in ("Mill dec 2026.csv", "mill-feb-2027.csv", "mill-März-2027.csv", "market-2027.csv"):
        (tmp_path / name).write_text("")
    assert (
        newer_list(tmp_path, "Mill dec 2026.csv") == newer_list(tmp_path, "mill-feb-2027.csv") == "mill-März-2027.csv"
    )
    assert newer_list(tmp_path, "mill-März-2027.csv") == ""


def test_days_of_filling_and_fetching_are_as_far_from_the_first_day_as_before() -> None:
    text = HOUSEHOLD_FILE.read_text(encoding="utf-8").replace(
        "variety:", "portioning: {day: 2027-03-04}  # a Thursday\nvariety:"
    )
    found = rolled(text, path=HOUSEHOLD_FILE)
    assert "portioning: {day: 2027-03-18}  # a Thursday" in found.text
    assert "  - {name: Okoro, collects: 2027-03-20}  # a day after the bags are filled" in found.text
    assert sum("check the day" in what for what in found.to_do) == 2


def test_a_file_in_one_pair_of_braces_has_no_room_for_remarks() -> None:
    text = '{"currency": "EUR", "batch": {"starts": "2027-02-06"}, "dogs": [{"name": "Maple", "weight": "20 kg", '
    text += '"ration": "2.5 %", "targets": "prey model"}], "cuts": [{"cut": "kale", "price": "3.00 per kg"}]}'
    with pytest.raises(ValueError, match="one pair of braces"):
        roll_on(text, read(text), some_news(read(text)))
