"""The following scenario: the text of the last one with days, stock, weights, prices and ranges rolled on.

Only what changes is touched; what is learnt but not sure is proposed in a comment, with the line to write.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import takewhile
from pathlib import Path

from raworder.giving_way.yaml_text import percent_text, quoted_text
from raworder.reading.catalogue import reference_catalogue
from raworder.reading.located import Entries, Items, Node, Text, locate
from raworder.reading.names import fold_name
from raworder.reading.newer_lists import newer_list
from raworder.reading.notes import Notes
from raworder.reading.offers import cut_as_said
from raworder.reading.quantities import read_days
from raworder.reading.reference import cuts_by_name, read_cuts
from raworder.reading.yaml_edits import OURS, Edit, drop_remarks, edit_yaml, replace_rows
from raworder.reporting.bag_book import bags_text
from raworder.reporting.words import count_text, days_text
from raworder.trade.after_a_batch import CarriedRange, carried_ranges
from raworder.trade.dogs import Dog, Goal
from raworder.trade.kept import BatchAccount, EntryKind, KeptBag, Loss, Lot, NewLot, Stock, Weighing
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Offer, Scenario
from raworder.trade.units import BASES_G, GRAMS_PER, amount_text, day_text, grams_text, read_date, share_text

CARRIED, BEFORE = "carried for ", "before: "
"""What begins and ends our comment about carried ranges, from which they are taken back."""

BOOK = "book"
"""What stands for the freezer's book in place of lots on hand."""

SAID = ("dogs", "to_do", "carried")
"""What is said of changes, by the fields of `RolledOn`."""

LEAST_LEARNT_PACKS, WORTH_LEARNING = 3, Fraction(2, 100)
"""The packs from which their mean weight is proposed, and how far off it must be. Own choice."""

WEIGHED_DIGITS = 4
"""A weight in pounds is written with so many digits, which no scale of a household goes beyond. Own choice."""

LOSS_BATCHES, WORTH_TELLING = 3, Fraction(3, 100)
"""The batches whose losses are looked at, and the share from which one is told. Own choice."""

_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")


@dataclass(frozen=True, slots=True)
class News:
    """What is known when a batch is over.

    `stock` is what is there on the day the next bags are filled, and `from_book` whether the book says so. `accounts`
    are all batches so far and `account` the one that ends. `weights` are those that were typed, by dog; with `carries`
    surplus and deficit are carried. `folder` is where the scenario lies. `losses` are those of the last batches.
    """

    starts: date
    stock: Stock
    from_book: bool = False
    account: BatchAccount | None = None
    accounts: tuple[BatchAccount, ...] = ()
    weighings: tuple[Weighing, ...] = ()
    weights: Mapping[str, str] = field(default_factory=dict)
    carries: bool = True
    folder: Path | None = None
    losses: tuple[Loss, ...] = ()


@dataclass(frozen=True, slots=True)
class RolledOn:
    """The text of the following scenario, what changed about dogs, what a person must still do, and what is carried."""

    text: str
    dogs: tuple[str, ...] = ()
    to_do: tuple[str, ...] = ()
    carried: tuple[str, ...] = ()


def restore_asked(text: str) -> str:
    """The text as it was before it was rolled on the last time: carried ranges and our comments are gone."""
    lines, edits = text.splitlines(), []
    dogs = list(_entries(_root(text).get("dogs")))
    known = tuple(f"{entry['name']}," for _, entry in dogs)
    for index, entry in dogs:
        above = [line.strip() for line in takewhile(_is_ours, reversed(lines[: entry.place.line - 1]))]
        carried = [line.removeprefix(f"{OURS} {CARRIED}") for line in above if line.startswith(f"{OURS} {CARRIED}")]
        mine = [said for said in carried if said.startswith(f"{entry['name']},")]
        renamed = [said for said in carried if not said.startswith(known)]
        for said in (mine or renamed)[:1]:
            before = said.rpartition(f"({BEFORE}")[2].removesuffix(")")
            edits.append(Edit(("dogs", index, "targets"), "" if before == "nothing" else before))
    return drop_remarks(edit_yaml(text, edits))


def _is_ours(line: str) -> bool:
    return line.lstrip().startswith(OURS)


def roll_on(text: str, scenario: Scenario, news: News) -> RolledOn:
    """The following scenario of one that has just been read from that text.

    ValueError where the whole file stands in one pair of braces, as nothing can be said beside it.
    """
    rolling = _Rolling(_root(text), scenario, news)
    rolling.roll_days()
    rolling.roll_dogs()
    rolling.roll_prices()
    rolling.roll_supplements()
    rolling.tell_losses()
    rows = rolling.roll_stock()
    text = edit_yaml(text, rolling.edits)
    if rows is not None:
        text = replace_rows(text, "on_hand", rows)
    said = rolling.said
    return RolledOn(text, *(tuple(said[kind]) for kind in SAID))


def dogs_to_weigh(text: str, scenario: Scenario, weighings: tuple[Weighing, ...]) -> tuple[tuple[str, str], ...]:
    """The growing dogs that nobody has weighed since the last batch was filled, each with its weight in the file."""
    return tuple(
        (str(entry["name"]), str(entry["weight"]))
        for _, entry in _entries(_root(text).get("dogs"))
        if _grows(entry) and "weight" in entry and _newest(weighings, str(entry["name"]), scenario) is None
    )


def _root(text: str) -> Entries:
    """The nodes of a text that was read as a scenario before."""
    root = locate(text, "scenario", Notes())
    assert root is not None
    return root


def _entries(node: Node | None) -> Iterator[tuple[int, Entries]]:
    """The mappings of a list, each with its place."""
    if isinstance(node, Items):
        yield from ((index, entry) for index, entry in enumerate(node) if isinstance(entry, Entries))


def _grows(entry: Entries) -> bool:
    return str(entry.get("puppy", "no")).casefold() in {"yes", "true"} and "care" not in entry


def _newest(weighings: tuple[Weighing, ...], dog: str, scenario: Scenario) -> Weighing | None:
    """The last weighing of a dog since the bags of the last batch were filled."""
    new = [each for each in weighings if each.dog == dog and each.day > scenario.portioned_on]
    return max(new, key=lambda each: each.day) if new else None


class _Rolling:
    """Gathers the changes of a text, and what is said of them."""

    def __init__(self, root: Entries, scenario: Scenario, news: News) -> None:
        self.root, self.scenario, self.news = root, scenario, news
        self.cuts = cuts_by_name(scenario)
        self.edits: list[Edit] = []
        self.said: dict[str, list[str]] = {kind: [] for kind in SAID}

    def roll_days(self) -> None:
        """The first day; days of filling and fetching are as far from it as before."""
        news, batch = self.news, self.scenario.batch
        shift = news.starts - batch.starts
        how = f"rolled on from {day_text(batch.starts)}: lines with {OURS} say what, and go the next time"
        self.edits.append(Edit(("batch", "starts"), news.starts.isoformat(), (how,)))
        portioning = self.root.get("portioning")
        if isinstance(portioning, Entries) and "day" in portioning:
            self._shift_day(("portioning", "day"), portioning["day"], shift)
        for index, owner in _entries(self.root.get("owners")):
            if "collects" in owner:
                self._shift_day(("owners", index, "collects"), owner["collects"], shift)

    def _shift_day(self, path: tuple[int | str, ...], node: Node, shift: timedelta) -> None:
        day = read_date(str(node)) + shift
        remark = f"{day_text(day)}, {count_text(shift.days, 'day')} later than last time: check it"
        self.edits.append(Edit(path, day.isoformat(), (remark,)))
        self.said["to_do"].append(f"check the day `{path[-1]}: {day.isoformat()}`")

    def roll_dogs(self) -> None:
        """Days away, bags to be fed first, weights, and ranges that even out the last batch."""
        of_name = {dog.name: dog for dog in self.scenario.dogs}
        for index, entry in _entries(self.root.get("dogs")):
            name = str(entry["name"])
            remarks = [*self._roll_away(index, entry, of_name.get(name)), *self._roll_weight(index, entry)]
            if name in of_name:
                remarks += self._carry(index, entry, of_name[name])
            if remarks:
                self.edits.append(Edit(("dogs", index), None, tuple(remarks)))

    def _roll_away(self, index: int, entry: Entries, dog: Dog | None) -> Iterator[str]:
        """The days away that are still to come, and those on which bags of the last batch are fed."""
        name, starts = str(entry["name"]), self.news.starts
        written = [str(node) for node in away] if isinstance(away := entry.get("away"), Items) else []
        coming = [span for span in written if read_days(span).last >= starts]
        gone = [span for span in written if span not in coming]
        if gone:
            yield f"away {', '.join(gone)} is over"
            self.said["dogs"].append(f"{name} is no longer away")
        yield from self._feed_kept(entry, dog, coming)
        if coming != written:
            self.edits.append(Edit(("dogs", index, "away"), f"[{', '.join(coming)}]" if coming else ""))

    def _feed_kept(self, entry: Entries, dog: Dog | None, coming: list[str]) -> Iterator[str]:
        """What becomes of a dog's bags of the last batch; the days on which it eats them are put to those away."""
        name, starts = str(entry["name"]), self.news.starts
        there = self._kept_bags(name)
        kept = [bag for bag in there if not dog or self._may_eat(dog, bag)]
        if len(kept) < len(there):
            yield self._refuse(name, [bag.label for bag in there if bag not in kept])
        days = min(len(kept) // (dog.meals if dog else 1), self.scenario.batch.days - 1)
        which = bags_text(bag.label for bag in kept)
        is_are, it_them = ("is", "it") if len(kept) == 1 else ("are", "them")
        if kept and "care" in entry:
            yield f"{which} {is_are} kept: ask the veterinarian before {it_them.replace('them', 'they')} {is_are} fed"
        elif kept and days:
            last = starts + timedelta(days - 1)
            coming.insert(0, starts.isoformat() if days == 1 else f"{starts.isoformat()} to {last.isoformat()}")
            which = f"{which} of the last batch, {days_text(starts, last)}"
            yield f"not away: it eats {which}"
            self.said["dogs"].append(f"{name} first eats {which}")
        elif kept:
            yield f"{which} of the last batch {is_are} no whole day: feed {it_them} when you like"

    def _refuse(self, name: str, labels: list[int]) -> str:
        """What is said of bags that a dog must not eat any more."""
        hold = f"{bags_text(labels)} of the last batch {'holds' if len(labels) == 1 else 'hold'}"
        hold = f"{hold} what {name} must not eat, or what nobody knows"
        self.said["to_do"].append(f"{hold}: do not feed it that")
        return hold

    def _kept_bags(self, name: str) -> list[KeptBag]:
        """The bags of a dog that are left over from before."""
        return [
            bag
            for bag in self.news.stock.bags
            if bag.dog == name and (bag.fate is EntryKind.KEPT or bag.feed_on >= self.news.starts)
        ]

    def _may_eat(self, dog: Dog, bag: KeptBag) -> bool:
        """Whether the dog avoids nothing that is in a bag; what is not known any more may be anything."""
        held = [self.cuts.get(cut) or self.cuts.get(cut_as_said(cut)[0]) for cut, _ in bag.contents]
        return all(cut is not None and not dog.avoids(cut) for cut in held)

    def _roll_weight(self, index: int, entry: Entries) -> Iterator[str]:
        """The new weight of a growing dog; what else was weighed or must be is said."""
        name, weight, to_do = str(entry["name"]), entry.get("weight"), self.said["to_do"]
        weighed = _newest(self.news.weighings, name, self.scenario)
        if "care" in entry:
            yield "in care: nothing is changed; ask the veterinarian whether the amounts still hold"
            to_do.append(f"ask the veterinarian whether the amounts of {name} still hold")
            return
        if not isinstance(weight, Text):
            return
        if _grows(entry):
            yield from self._grow(index, entry, weighed)
        elif weighed:
            grams = self._weight(weighed.grams)
            yield f"weighed {grams} on {day_text(weighed.day)}: write `weight: {grams}` if it is to count"
        elif str(entry.get("goal", Goal.KEEP)) != Goal.KEEP:
            to_do.append(f"weigh {name}, as its weight is to change")

    def _weight(self, grams: int) -> str:
        """A weight that was weighed as the file takes it, in pounds where its weights are."""
        if self.scenario.weight_unit == "lb":
            return f"{amount_text(grams / GRAMS_PER['lb'], WEIGHED_DIGITS)} lb"
        return grams_text(grams, "kg")

    def _grow(self, index: int, entry: Entries, weighed: Weighing | None) -> Iterator[str]:
        """The weight of a growing dog: typed, weighed, or else still to be found out; its ration is never reckoned."""
        name, was = str(entry["name"]), str(entry["weight"])
        typed = self.news.weights.get(name, "")
        new = typed or (self._weight(weighed.grams) if weighed else "")
        if not new:
            yield f"weigh {name} and put its weight here: {was} is of the last batch"
            self.said["to_do"].append(f"weigh {name}: {was} is of the last batch")
        elif new != was:
            when = f", weighed {day_text(weighed.day)}" if weighed and not typed else ""
            yield f"{was} in the last batch, now {new}{when}"
            self.edits.append(Edit(("dogs", index, "weight"), new))
            self.said["dogs"].append(f"{name} weighs {new}, not {was}")
        if "%" not in str(entry.get("ration", "%")) or "ration_by_end" in entry:
            yield f"the ration is that of the last batch: ask the veterinarian what {name} needs at its new weight"
            self.said["to_do"].append(f"ask the veterinarian what {name} needs at its new weight")
        for by_end in ("weight_by_end", "ration_by_end"):
            if by_end in entry:
                yield f"{by_end} was for {day_text(self.scenario.batch.ends)}: {entry[by_end]}"
                self.edits.append(Edit(("dogs", index, by_end), ""))
                self.said["to_do"].append(f"write the new `{by_end}` of {name}; it was {entry[by_end]}")

    def _carry(self, index: int, entry: Entries, dog: Dog) -> Iterator[str]:
        """The ranges of a grown dog that even out the last batch; not where dogs fed alike would no longer be alike."""
        account, scenario = self.news.account, self.scenario
        if not self.news.carries or account is None or dog.care or dog.puppy or scenario.solved_by_groups:
            return
        asked = {str(target.part): (target.low, target.high) for target in dog.targets}
        carried = carried_ranges(asked, [got for got in account.shares if got.dog == dog.name])
        if not carried:
            return
        own = entry.get("targets")
        common = self.root.get("all_dogs")
        shared = common.get("targets") if isinstance(common, Entries) else None
        got = ", ".join(f"{range_.part} {share_text(range_.got)}" for range_ in carried)
        ranges = ", ".join(f"{range_.part} {_range(range_)}" for range_ in carried)
        before = _targets_text(own, ()) if own is not None else "nothing"
        yield f"{CARRIED}{dog.name}, which got {got}, so that both batches even out: {ranges} ({BEFORE}{before})"
        self.edits.append(Edit(("dogs", index, "targets"), _targets_text(own if own is not None else shared, carried)))
        self.said["carried"].append(f"{dog.name}: {ranges}, after {got}")

    def roll_supplements(self) -> None:
        """What is left of supplements is known to nobody."""
        for index, entry in _entries(self.root.get("supplements")):
            if "on_hand" in entry:
                remark = f"{entry['on_hand']} before the last batch: count what is left"
                self.edits.append(Edit(("supplements", index, "on_hand"), None, (remark,)))
                self.said["to_do"].append(f"count what is left of {entry['supplement']}")

    def roll_prices(self) -> None:
        """Prices in the file become those that were paid; price lists stay, and newer ones are named."""
        for index, supplier in _entries(self.root.get("suppliers")):
            listed = supplier.get("price_list")
            file = listed.get("file") if isinstance(listed, Entries) else listed
            newer = newer_list(self.news.folder, str(file)) if self.news.folder and file is not None else ""
            if newer:
                remark = f"{newer} looks newer: name it here to plan with it"
                self.edits.append(Edit(("suppliers", index, "price_list"), None, (remark,)))
                self.said["to_do"].append(
                    f"{newer} looks newer than {file}: write it at `price_list` in the new file to plan with it"
                )
        offers = {(offer.place.line, offer.place.column): offer for offer in self.scenario.offers if offer.place}
        for path, entry in self._offer_entries():
            offer = offers.get((entry["cut"].place.line, entry["cut"].place.column))
            if offer is not None:
                remarks = [*self._roll_price(path, entry, offer), *self._learn_weight(offer)]
                if remarks:
                    self.edits.append(Edit(path, None, tuple(remarks)))

    def _offer_entries(self) -> Iterator[tuple[tuple[int | str, ...], Entries]]:
        """Every offer that stands in the file, with its path."""
        for index, offer in _entries(self.root.get("cuts")):
            yield ("cuts", index), offer
        for place, supplier in _entries(self.root.get("suppliers")):
            for index, offer in _entries(supplier.get("cuts")):
                yield ("suppliers", place, "cuts", index), offer

    def _lots_of(self, offer: Offer, account: BatchAccount | None) -> NewLot | None:
        """All that was bought of an offer in a batch."""
        sold = _identity(offer)
        alike = [other for other in self.scenario.offers if _identity(other) == sold]
        mine = [
            lot
            for lot in (account.lots if account else ())
            if lot.units
            and (lot.supplier, lot.cut, lot.item, lot.code) == sold
            and min(alike, key=lambda other: abs(lot.grams - other.grams(lot.units))) == offer
        ]
        if not mine:
            return None
        units, grams = sum(lot.units for lot in mine), sum(lot.grams for lot in mine)
        return replace(mine[0], units=units, grams=grams, goods=sum((lot.goods for lot in mine), Decimal(0)))

    def _roll_price(self, path: tuple[int | str, ...], entry: Entries, offer: Offer) -> Iterator[str]:
        """The price that was paid in place of the one in the file, where they differ by more than rounding."""
        lot, account, money = self._lots_of(offer, self.news.account), self.news.account, self.scenario.currency
        if lot is None or account is None:
            return
        place = max(place for place, step in enumerate(offer.steps) if step.at_least <= max(lot.units, 1))
        step = offer.steps[place]
        units = Fraction(lot.grams) / offer.unit_g if offer.by_weight or offer.heaviest_g else Fraction(lot.units)
        basis_g = BASES_G.get(step.per.removeprefix("per "))
        paid = money.rounded(Fraction(lot.goods) * basis_g / lot.grams if basis_g else Fraction(lot.goods) / lot.units)
        if abs(lot.goods - money.rounded(step.unit_price * units)) <= money.minor or paid == step.listed or not paid:
            return
        says = f"paid {paid:f} on {day_text(account.filled_on)}; {step.listed:f} on the list"
        prices = [other.listed for other in offer.steps]
        prices[place] = paid
        if prices != sorted(set(prices), reverse=True):
            yield f"{says}: left as it is, as a price from an amount on would no longer be lower; ask what holds"
            return
        field_ = (*path, "price") if not place else (*path, "price_breaks", place - 1, "price")
        breaks = entry.get("price_breaks")
        node = dict(_entries(breaks))[place - 1]["price"] if place else entry["price"]
        yield says
        self.edits.append(Edit(field_, _NUMBER.sub(f"{paid:f}", str(node), count=1)))

    def _learn_weight(self, offer: Offer) -> Iterator[str]:
        """What packs of a catch weight really weighed so far, where that is another weight than the file says."""
        if not offer.heaviest_g:
            return
        lots = [lot for account in self.news.accounts if (lot := self._lots_of(offer, account))]
        packs = sum(lot.units for lot in lots)
        if packs < LEAST_LEARNT_PACKS:
            return
        mean_g = half_up(Fraction(sum(lot.grams for lot in lots), packs))
        if abs(mean_g - offer.unit_g) >= WORTH_LEARNING * offer.unit_g:
            mean = self._weight(mean_g)
            yield f"{packs} packs weighed {mean} on average: write `pack: about {mean}` if that is to count"
            self.said["to_do"].append(f"{offer.cut}: packs weigh {mean} on average, see the comment there")

    def tell_losses(self) -> None:
        """What was bought and was not there when it was counted, where that is much: nothing is changed for it."""
        for loss in self.news.losses:
            share = Fraction(loss.lost_g, loss.bought_g)
            if share >= WORTH_TELLING and loss.cut in {cut.name for cut in self.scenario.cuts}:
                lost, bought = (grams_text(grams, self.scenario.weight_unit) for grams in (loss.lost_g, loss.bought_g))
                self.said["to_do"].append(
                    f"{percent_text(Fraction(half_up(share * 100), 100))} of the {loss.cut} bought for the last "
                    f"batches was not there when you counted ({lost} of {bought}): weigh it at the "
                    "shop, and put that weight on the receipt"
                )

    def roll_stock(self) -> list[str] | None:
        """The rows of what is on hand; None where the book says it when the file is read."""
        lots = list(self.news.stock.without_crumbs().lots)
        unit = self.scenario.weight_unit
        if str(self.root.get("on_hand")) == BOOK:
            today = (f"{grams_text(lot.left_g, unit)} of {lot.cut}, lot {lot.number}" for lot in lots)
            what = f"on {day_text(self.news.stock.day)} the book has: {'; '.join(today) or 'nothing'}"
            self.edits.append(Edit(("on_hand",), None, (what,)))
            return None
        return list(filter(None, map(self._row, lots)))

    def _row(self, lot: Lot) -> str:
        """A lot on hand as a scenario takes it, with whence it comes; empty, and noted, where it cannot speak of it."""
        name, said = cut_as_said(lot.cut)
        if not self._knows(name) or (lot.owner and lot.owner not in {dog.owner for dog in self.scenario.dogs}):
            grams = grams_text(lot.left_g, self.scenario.weight_unit)
            self.said["to_do"].append(f"{grams} of {lot.cut} on hand is left out: write it under `on_hand` yourself")
            return ""
        texts = [("cut", quoted_text(name)), *said, ("weight", f"{lot.left_g} g")]
        texts += [("frozen", lot.frozen_on.isoformat())] if lot.frozen_on else []
        texts += [("owner", quoted_text(lot.owner))] if lot.owner else []
        pounds = f"{grams_text(lot.left_g, 'lb')}, " if self.scenario.weight_unit == "lb" else ""
        whence = f"from the book, lot {lot.number}" if self.news.from_book else "left over by the plan"
        return f"{{{', '.join(f'{field_}: {text}' for field_, text in texts)}}}  # {pounds}{whence}"

    def _knows(self, cut: str) -> bool:
        """Whether the reference table or the file has a cut of that name."""
        own = {fold_name(str(entry.get("cut"))) for _, entry in _entries(self.root.get("own_cuts"))}
        return fold_name(cut) in own or reference_catalogue(read_cuts()).find(cut) is not None


def _identity(offer: Offer) -> tuple[str, str, str, str]:
    """What a receipt knows an offer by."""
    return offer.supplier, offer.cut, offer.item, offer.code


def _range(carried: CarriedRange) -> str:
    return f"{percent_text(carried.low)} to {percent_text(carried.high)}"


def _targets_text(node: Node | None, carried: tuple[CarriedRange, ...]) -> str:
    """The `targets` of a dog as they are written in one line, with the ranges that are carried."""
    if not carried and not isinstance(node, Entries):
        return str(node)
    fields = {str(key): str(value) for key, value in node.items()} if isinstance(node, Entries) else {}
    if isinstance(node, Text):
        fields = {"pattern": str(node)}
    folded = {fold_name(key): key for key in fields}
    for range_ in carried:
        fields[folded.get(range_.part, range_.part)] = _range(range_)
    return f"{{{', '.join(f'{key}: {value}' for key, value in fields.items())}}}"
