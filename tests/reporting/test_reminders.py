"""Reminders say what to do on which day, once, and nothing that the thaw plan would not say."""

from dataclasses import replace
from datetime import date, timedelta

from raworder.reporting.thaw_plan import HOW
from raworder.trade.document import Document, Points
from raworder.trade.fingerprint import batch_number
from raworder.trade.plan import Dose
from tests import builders as b
from tests.reporting.samples_of_bags import FILLED_ON, HOUSE, HOUSE_PLAN, column, day, plain_bags, tables
from tests.supplemented import OIL
from tests.worked_out import counter_sheet, freezing, reminders, thaw_plan

HOUSE_DAYS = reminders(HOUSE, HOUSE_PLAN)


def by_uid(document: Document) -> dict[str, dict[str, str]]:
    """The reminders by their last words: `filling`, `ordering`, or a day."""
    (table,) = tables(document, "reminders")
    rows = [{one.key: str(cell) for one, cell in zip(table.columns, row, strict=True)} for row in table.rows]
    return {row["uid"].rpartition("-")[2]: row for row in rows}


def test_there_is_one_reminder_a_day_beside_preparing_filling_and_ordering() -> None:
    (table,) = tables(HOUSE_DAYS, "reminders")
    days = column(table, "day")
    assert days == sorted(days, key=str)
    assert sorted(column(table, "kind"), key=str) == ["feeding"] * 7 + ["filling", "ordering", "preparing"]
    assert len(set(column(table, "uid"))) == 10


def test_the_day_before_filling_all_is_at_home_and_what_is_frozen_is_taken_out() -> None:
    (table,) = tables(HOUSE_DAYS, "reminders")
    day, to_do, details = next(row[:3] for row in table.rows if "preparing" in row)
    assert day == FILLED_ON - timedelta(1)
    assert to_do == "Have all at home; half-thaw tonight"
    (half_thaw,) = tables(counter_sheet(HOUSE, HOUSE_PLAN), "half_thaw")
    assert set(column(half_thaw, "take_out_on")) == {day}
    assert all(f"{row[1]} g {row[0]}" in str(details) for row in half_thaw.rows if int(str(row[1])) < 1000)
    at_home = reminders(replace(HOUSE, on_hand=()), replace(HOUSE_PLAN, lines=(), lots_used=()))
    (bare,) = tables(at_home, "reminders")
    assert bare.rows[0][1:3] == ("Half-thaw tonight", "The bags are filled tomorrow.")


def test_a_day_tells_what_is_fed_and_what_is_thawed_for_the_next() -> None:
    # filled on Friday the 5th; Maple's bags are 1 to 7, Juniper's 8 to 19 by twos but for the fourth day, Sorrel's 20
    # to 26; with liver or chicken in them they keep 1 day, trim alone keeps 3
    second = by_uid(HOUSE_DAYS)["20270207"]
    assert second["to_do"] == "Feed bags 2, 10-11, 21; thaw bags 3, 13, 22"
    assert second["details"].split("\n") == [
        "Feed Maple bag 2 A (500 g), Juniper bags 10 A (125 g) and 11 B (125 g), Sorrel bag 21 A (105 g).",
        "Move bags 3, 13, 22 from the freezer to the refrigerator: fed tomorrow, Tue 9 Feb at the latest.",
    ]
    assert second["cautions"] == ""


def test_how_to_thaw_is_told_on_the_first_day_that_thaws_and_on_no_other() -> None:
    told = {key: str(row["cautions"]) for key, row in by_uid(HOUSE_DAYS).items()}
    assert [key for key, cautions in told.items() if HOW in cautions] == ["20270206"]


def test_the_last_day_thaws_nothing_and_needs_no_caution() -> None:
    last = by_uid(HOUSE_DAYS)["20270212"]
    assert last["to_do"] == "Feed bags 7, 18-19, 26"
    assert last["cautions"] == ""


def test_the_day_of_filling_tells_where_bags_and_what_is_left_over_go() -> None:
    filling = by_uid(HOUSE_DAYS)["filling"]
    assert (filling["day"], filling["to_do"]) == (str(FILLED_ON), "Fill 26 bags")
    assert "26 bags, 5.74 kg." in filling["details"]  # the sum of the sample
    assert "Move bags 1, 9, 20 straight to the refrigerator: fed tomorrow, Sat 6 Feb" in filling["details"]
    assert "Freeze what is left over: 42 g of beef trim and 172 g of lamb liver." in filling["details"]


def test_ordering_is_so_many_days_before_the_next_bags_are_filled() -> None:
    # the batch ends on the 12th, when the bags of the next are filled
    assert by_uid(HOUSE_DAYS)["ordering"]["day"] == "2027-02-09"
    for days in (0, 30):
        batch = replace(HOUSE.batch, order_ahead_days=days)
        moved = by_uid(reminders(replace(HOUSE, batch=batch), HOUSE_PLAN))["ordering"]
        assert moved["day"] == str(date(2027, 2, 12) - timedelta(days))
        assert moved["uid"] == by_uid(HOUSE_DAYS)["ordering"]["uid"]  # so that a calendar moves it


def test_ordering_tells_until_when_each_dog_has_enough_and_what_is_left() -> None:
    told = by_uid(HOUSE_DAYS)["ordering"]["details"]
    assert told.startswith("Enough until Fri 12 Feb for all dogs.\n")
    assert "42 g beef trim" in told
    shorter = replace(
        HOUSE_PLAN, bags=tuple(one for one in HOUSE_PLAN.bags if one.dog != "Juniper" or one.day < day(5))
    )
    told = by_uid(reminders(HOUSE, shorter))["ordering"]["details"]
    assert "Enough until Wed 10 Feb for Juniper.\nEnough until Fri 12 Feb for Maple and Sorrel." in told


def test_scraps_that_no_bag_could_hold_are_not_worth_a_word() -> None:
    least = HOUSE.portioning.least_portion_g
    for grams, says in ((least - 1, "Nothing that could be fed is left over then."), (least, "Left over then")):
        plan = replace(HOUSE_PLAN, leftovers=(b.a_leftover("beef trim", bought_g=grams),))
        assert says in by_uid(reminders(HOUSE, plan))["ordering"]["details"]


def test_a_bag_that_takes_two_days_to_thaw_is_fed_on_a_day_that_is_named() -> None:
    # Source: USDA The Big Thaw: 24 hours for each 5 lb, 2268 g, so 3000 g take two days
    told = by_uid(reminders(*plain_bags([500, 500, 500, 500, 500, 3_000])))["20270209"]
    assert "fed on Thu 11 Feb" in told["details"]


def test_what_keeps_no_longer_than_its_day_is_told() -> None:
    # bag 8 is trim alone, which keeps 3 days; in the others there is chicken, kidney or liver
    assert "\nFeed today or throw away: bags 1, 9, 20.\n" in by_uid(HOUSE_DAYS)["20270206"]["details"]


def test_what_must_be_frozen_first_is_minded_on_the_day_of_filling_and_of_feeding() -> None:
    fish = b.a_cut("herring fillet", species="herring", cautions=("raw-fish-parasites",))
    told = by_uid(document := reminders(*plain_bags([500] * 3, cut=fish)))
    assert [one.key for one in document.blocks if isinstance(one, Points)] == ["mind"]
    assert "herring fillet" in told["filling"]["cautions"]
    assert "herring fillet must be frozen for longer first" in told["20270208"]["cautions"]


def test_warnings_are_those_of_the_thaw_plan() -> None:
    fish = b.a_cut("herring fillet", species="herring", cautions=("raw-fish-parasites",))
    about = plain_bags([500] * 3, cut=fish)
    minded = [one for one in thaw_plan(*about).blocks if isinstance(one, Points) and one.key == "mind"]
    assert [one for one in reminders(*about).blocks if isinstance(one, Points)] == minded


def test_no_time_to_thaw_is_said_on_the_day() -> None:
    told = by_uid(reminders(*plain_bags([3_000, 5_000], days=(0, 1), keeping=())))
    assert "No time to freeze and thaw" in told["20270207"]["cautions"]


def test_a_freezer_that_takes_few_has_its_lots_on_their_days() -> None:
    slow = replace(HOUSE, portioning=replace(HOUSE.portioning, freezes_g=3_000))
    (lots,) = tables(freezing(slow, HOUSE_PLAN), "lots")
    told = by_uid(reminders(slow, HOUSE_PLAN))
    first, second = column(lots, "bags")[:2]
    assert f"Freeze today bags {first}" in told["filling"]["details"]
    assert f"Freeze today bags {second}" in told["20270206"]["details"]
    assert "freeze " in told["20270206"]["to_do"]


def test_many_dogs_are_counted() -> None:
    pack = tuple(b.a_dog(f"Dog {place:02}", days=7) for place in range(21))
    many = replace(HOUSE, dogs=(*HOUSE.dogs, *pack))
    told = by_uid(reminders(many, HOUSE_PLAN))["20270207"]
    assert told["details"].startswith("Feed 4 bags, ")
    assert "Maple" not in told["details"]


def test_supplements_are_given_beside_what_is_fed() -> None:
    plan = replace(HOUSE_PLAN, doses=(Dose("Maple", OIL.name, 2),))
    told = by_uid(reminders(replace(HOUSE, supplements=(OIL,)), plan))
    assert "\nGive Maple beside it: 2 capsules of salmon oil a day.\n" in told["20270207"]["details"]


def test_what_a_thing_to_do_is_called_depends_on_batch_and_day_alone() -> None:
    uids = set(column(tables(HOUSE_DAYS, "reminders")[0], "uid"))
    assert all(batch_number(HOUSE) in str(one) for one in uids)
    other = replace(HOUSE_PLAN, bags=HOUSE_PLAN.bags[::-1], leftovers=())
    assert set(column(tables(reminders(HOUSE, other), "reminders")[0], "uid")) == uids
    later = replace(HOUSE, title="Another batch")
    assert not uids & set(column(tables(reminders(later, HOUSE_PLAN), "reminders")[0], "uid"))
