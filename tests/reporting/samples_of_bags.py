"""Three dogs whose bags were filled by hand, and two dogs fed from tubs. All invented; the sums stand beside."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

from raworder.trade.bags import Bag, Filling, Mix, Portioning, Station, Tub, Working
from raworder.trade.cuts import Cut
from raworder.trade.document import Document, Table
from raworder.trade.plan import LotUse, Plan
from raworder.trade.scenario import Keeping, Scenario
from tests import builders as b

KEEPING = (
    Keeping("organs", frozenset({"liver", "kidney", "heart"}), frozenset(), 1, 2, "invented chart"),
    Keeping("poultry", frozenset(), frozenset({"chicken"}), 1, 2, "invented chart"),
    Keeping("red meat", frozenset(), frozenset(), 3, 5, "invented chart"),
)
FILLED_ON = date(2027, 2, 5)
"""The day before the batch starts, a Friday."""


def day(number: int) -> date:
    """A day of the batch, from 0."""
    return b.STARTS + timedelta(days=number)


def maple_bag(place: int) -> Bag:
    """500 g: kind A with two necks and liver, kind B with one neck and kidney on the third day and the sixth."""
    if place in {2, 5}:
        fillings = (Filling("chicken neck", 60, 1), Filling("beef kidney", 90), Filling("beef trim", 350))
        return b.a_bag(fillings, day=place, kind="B")
    liver_g = 33 if place == 6 else 40  # the last bag takes what is left: 193 - 4 x 40
    trim_g = 500 - 120 - liver_g
    fillings = (Filling("chicken neck", 120, 2), Filling("lamb liver", liver_g), Filling("beef trim", trim_g))
    return b.a_bag(fillings, day=place)


def juniper_bags(place: int) -> tuple[Bag, Bag]:
    """125 g twice: trim alone in the morning, with kidney in the evening."""
    evening = (Filling("beef kidney", 25), Filling("beef trim", 100))
    return (
        b.a_bag((Filling("beef trim", 125),), dog="Juniper", day=place, meal=1, kind="A"),
        b.a_bag(evening, dog="Juniper", day=place, meal=2, kind="B"),
    )


def sorrel_bag(place: int) -> Bag:
    """As the veterinarian gave it: 701 g of trim and 35 g of liver in seven bags, one with a gram more."""
    trim_g = 101 if place == 6 else 100
    return b.a_bag((Filling("beef trim", trim_g), Filling("lamb liver", 5)), dog="Sorrel", day=place, topped_up="")


HOUSE = replace(
    b.a_scenario(
        title="Three dogs at the counter (invented)",
        days=7,
        dogs=(
            b.a_dog("Maple", days=7),
            b.a_dog(
                "Juniper",
                daily_g=250,
                days=6,
                day_g=(250, 250, 250, 0, 250, 250, 250),  # away on the fourth day
                meals=2,
                avoid=(b.a_subject(),),
                kennel="North",
            ),
            b.a_dog_in_care("Sorrel", {"beef trim": 701, "lamb liver": 35}, days=7),
        ),
        cuts=(b.NECK, b.TRIM, b.LIVER, b.KIDNEY),
        on_hand=(b.on_hand("beef kidney", 500, date(2027, 1, 10)),),
        room_g=6_000,
        portioning=Portioning(bag_tolerance=Fraction(5, 100)),
    ),
    keeping=KEEPING,
)

HOUSE_PLAN = b.a_plan(
    portions=b.portions_g(
        {
            # trim: 4 x 340 + 347 + 2 x 350 = 2407; together 720 + 2407 + 193 + 180 = 3500
            "Maple": {"chicken neck": 720, "beef trim": 2_407, "lamb liver": 193, "beef kidney": 180},
            # trim: 6 x 125 + 6 x 100 = 1350; together 1500
            "Juniper": {"beef trim": 1_350, "beef kidney": 150},
            "Sorrel": {"beef trim": 701, "lamb liver": 35},
        }
    ),
    leftovers=(
        b.a_leftover("beef trim", bought_g=42),  # 4500 - 4458
        b.a_leftover("lamb liver", bought_g=172),  # 400 - 228
        b.a_leftover("beef kidney", on_hand_g=170),  # 500 - 330
    ),
    lots_used=(LotUse(0, 330),),
    bags=(
        *map(maple_bag, range(7)),  # bags 1 to 7
        *(bag for place in (0, 1, 2, 4, 5, 6) for bag in juniper_bags(place)),  # bags 8 to 19
        *map(sorrel_bag, range(7)),  # bags 20 to 26
    ),
    stations=(
        Station(1, "beef kidney", (8, 10, 12, 14, 16, 18)),
        Station(1, "beef trim", tuple(range(7, 19))),
        Station(2, "chicken neck", tuple(range(7))),
        Station(2, "lamb liver", (0, 1, 3, 4, 6, *range(19, 26))),
        Station(2, "beef kidney", (2, 5)),
        Station(2, "beef trim", tuple(range(19, 26))),
        Station(2, "beef trim", tuple(range(7))),
    ),
)
"""Together 3500 + 1500 + 736 = 5736 g in 26 bags; 42 + 172 + 170 = 384 g are left over."""

MIX = Mix(
    "mix 1",
    ("Maple", "Fern"),
    (Filling("beef trim", 901), Filling("lamb liver", 99)),
    (
        Tub(1, (Filling("beef trim", 451), Filling("lamb liver", 49))),
        Tub(2, (Filling("beef trim", 450), Filling("lamb liver", 50))),
    ),
)
TUBS = replace(
    b.a_scenario(
        title="Two dogs fed from tubs (invented)",
        days=2,
        dogs=(b.a_dog("Maple", daily_g=310, days=2), b.a_dog("Fern", daily_g=310, days=2)),
        cuts=(b.NECK, b.TRIM, b.LIVER),
        portioning=Portioning(working=Working.TUB, tub_g=500),
    ),
    keeping=KEEPING,
)
TUBS_PLAN = b.a_plan(
    # one neck of 60 g and 250 g of the mix in each of four bags: 240 + 1000 = 1240
    portions=b.portions_g(
        {
            "Maple": {"chicken neck": 120, "beef trim": 451, "lamb liver": 49},
            "Fern": {"chicken neck": 120, "beef trim": 450, "lamb liver": 50},
        }
    ),
    leftovers=(b.a_leftover("beef trim", bought_g=99),),
    bags=tuple(
        b.a_bag((Filling("chicken neck", 60, 1), Filling("mix 1", 250)), dog=dog, day=place, topped_up="mix 1")
        for dog in ("Maple", "Fern")
        for place in range(2)
    ),
    mixes=(MIX,),
    stations=(Station(1, "chicken neck", (0, 1, 2, 3)), Station(1, "mix 1", (0, 1, 2, 3))),
)


def plain_bags(
    grams: Iterable[int],
    *,
    cut: Cut = b.TRIM,
    days: Iterable[int] | None = None,
    keeping: tuple[Keeping, ...] = KEEPING,
) -> tuple[Scenario, Plan]:
    """One dog with a bag of one cut a day, of such weights; `days` are days of the batch from 0."""
    weights = tuple(grams)
    places = tuple(range(len(weights))) if days is None else tuple(days)
    length = max(places) + 1
    day_g = [0] * length
    for place, weight_g in zip(places, weights, strict=True):
        day_g[place] += weight_g
    dog = b.a_dog(days=len(set(places)), batch_g=sum(weights), day_g=day_g)
    bags = tuple(
        b.a_bag((Filling(cut.name, weight_g),), day=place, topped_up=cut.name)
        for place, weight_g in zip(places, weights, strict=True)
    )
    scenario = replace(b.a_scenario(days=length, dogs=(dog,), cuts=(cut,)), keeping=keeping)
    portions = b.portions_g({dog.name: {cut.name: sum(weights)}})
    stations = (Station(1, cut.name, tuple(range(len(bags)))),)
    return scenario, b.a_plan(portions=portions, bags=bags, stations=stations)


def tables(document: Document, key: str) -> list[Table]:
    """The tables of a key."""
    return [block for block in document.blocks if isinstance(block, Table) and block.key == key]


def column(table: Table, key: str) -> list[object]:
    """One column of a table."""
    place = [one.key for one in table.columns].index(key)
    return [row[place] for row in table.rows]


def grams(table: Table, key: str) -> int:
    """The sum of a column of whole numbers."""
    return sum(int(str(one)) for one in column(table, key))
