"""What changed between two lists of one supplier, item by item: by the supplier's code first, then by name."""

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from raworder.reading.catalogue import reference_catalogue
from raworder.reading.names import fold_name
from raworder.reading.names_files import name_key
from raworder.reading.reference import read_cuts
from raworder.reading.suggestions import likely_cuts, name_meaning
from raworder.reporting.words import count_text, join_names
from raworder.studies.differences import OTHER_PACK, Identity, pair_up
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.supplier_list import ListRow, Match, Standing, SupplierList
from raworder.trade.units import BASES_G, Currency, share_text

MOST_SHOWN = 60
"""The most changes that people are shown; files have all of them."""

MOST_NAMED = 10
"""The most new items and doubts that are named; the rest are counted."""

GONE, SOLD_OUT, NOT_READ, OTHER_NAME, DEARER, CHEAPER, BACK, NEW, OTHER_PRICE = (
    *("gone", "sold out", "not read", "other name", "dearer", "cheaper", "back", "new", "other price"),
)
ORDER = (GONE, SOLD_OUT, NOT_READ, OTHER_NAME, DEARER, CHEAPER, OTHER_PRICE, OTHER_PACK, BACK, NEW)
"""How an item can have changed, in the order in which changes are told: what may stop an order first."""


IN_SUMMARY = MappingProxyType({OTHER_NAME: "with another name", OTHER_PRICE: "repriced", OTHER_PACK: "in another pack"})
"""How changes are counted where their own words do not fit."""


@dataclass(frozen=True, slots=True)
class RowChange:
    """An item on two lists; None where a list does not have it. `was_sold` is whether an earlier list sold it."""

    before: ListRow | None
    after: ListRow | None
    was_sold: bool = False

    @property
    def row(self) -> ListRow:
        """The item as it is on the newer list that has it."""
        row = self.after or self.before
        assert row is not None
        return row

    @property
    def cut(self) -> str:
        """The cut of ours that it is; empty where nobody said so."""
        return next((row.cut for row in (self.after, self.before) if row and row.match is Match.CUT), "")

    @property
    def not_for_dogs(self) -> bool:
        """Whether a person said so."""
        return self.row.match is Match.NOT_FOR_DOGS

    @property
    def rise(self) -> Fraction | None:
        """How much dearer a kilogram has become, as a share of what it cost; None where one has no price."""
        old, new = (row.per_kg if row else None for row in (self.before, self.after))
        return None if not old or new is None else new / old - 1

    @property
    def changes(self) -> tuple[str, ...]:
        """How it changed, in words of `ORDER`; none where it did not."""
        before, after = self.before, self.after
        if after is None:
            return (GONE,)
        if before is None:
            sold_out = () if after.sold_now else (_not_sold(after),)
            return (BACK if self.was_sold else NEW, *sold_out)
        if not after.sold_now:
            return (_not_sold(after),) if before.standing is not after.standing else ()
        named = (OTHER_NAME,) if name_key(before.name) != name_key(after.name) else ()
        if not before.sold_now:
            return (*named, BACK) if before.standing is Standing.NOT_NOW else named
        return (*named, *_changes_of_price(before, after, self.rise))


def _not_sold(row: ListRow) -> str:
    return SOLD_OUT if row.standing is Standing.NOT_NOW else NOT_READ


def _changes_of_price(before: ListRow, after: ListRow, rise: Fraction | None) -> Iterator[str]:
    """That an item that both lists sell has another price or another pack."""
    if rise:
        yield DEARER if rise > 0 else CHEAPER
    elif rise is None and (before.price, before.basis) != (after.price, after.basis):
        yield OTHER_PRICE
    if _pack(before) != _pack(after):
        yield OTHER_PACK


def _pack(row: ListRow) -> Hashable:
    """What is bought as one, whatever its unit; inner packs count."""
    return None if row.pack is None else (row.pack.grams, row.pack.packs, row.pack.about)


def compare_rows(old: SupplierList, new: SupplierList, earlier: Iterable[SupplierList] = ()) -> tuple[RowChange, ...]:
    """Every item of two lists, those of the old list in order, then those of the new one only."""
    sold = [row for each in earlier for row in each.rows if row.sold_now]
    back = {after: before is not None for before, after in pair_up(sold, new.rows, IDENTITIES) if after is not None}
    pairs = pair_up(old.rows, new.rows, IDENTITIES)
    return tuple(RowChange(before, after, after is not None and back.get(after, False)) for before, after in pairs)


def _code(row: ListRow) -> str:
    return fold_name(row.code)


IDENTITIES: Sequence[Identity[ListRow]] = (
    lambda row: row.code and (_code(row), name_key(row.name), _pack(row)),
    lambda row: row.code and (_code(row), name_key(row.name)),
    lambda row: row.name and (name_key(row.name), _pack(row), row.group),
    lambda row: row.code and (_code(row), _pack(row)),
    _code,
    lambda row: row.name and name_key(row.name),
)
"""What an item is known by on two lists. A name with its pack goes before a bare code, as codes are used again."""


@dataclass(frozen=True, slots=True)
class ListComparison:
    """Two lists of one supplier with earlier ones, the money and the unit of weight that prices are told in."""

    old: SupplierList
    new: SupplierList
    currency: Currency
    weight_unit: str = "kg"
    earlier: tuple[SupplierList, ...] = ()


def list_changes(compared: ListComparison, cost: Sequence[Block] = ()) -> Document:
    """What changed, what is new and looks like a cut of ours, what it costs a plan, and what is doubtful."""
    changes = compare_rows(compared.old, compared.new, compared.earlier)
    currency = compared.currency
    blocks = tuple(_blocks(compared, changes, cost))
    return Document(
        "list_changes", "What changed on the list", currency.code, currency.digits, compared.weight_unit, blocks
    )


def _blocks(compared: ListComparison, changes: Sequence[RowChange], cost: Sequence[Block]) -> Iterator[Block]:
    """The blocks of the paper; where cuts of ours are known, others are counted and stand in files alone."""
    ours = [change for change in changes if change.cut]
    others = [change for change in changes if not change.cut and not change.not_for_dogs] if ours else []
    main = ours or [change for change in changes if not change.not_for_dogs]
    yield Paragraph(_summary(main, "your items" if ours else "all items"))
    yield from cost[:1]
    yield from _change_tables(compared, main, MOST_SHOWN)
    yield from cost[1:]
    yield from _change_tables(compared, others, 0)
    yield from _new_items([change.row for change in others if change.before is None])
    yield from _count_others(changes, others)
    doubts = tuple(_doubts(compared))
    if doubts:
        yield Points("doubts", "Look at these lines", doubts)


def _summary(changes: Sequence[RowChange], whose: str) -> str:
    """How many items changed in which way, and by how much prices rose on average."""
    counts = Counter(word for change in changes for word in change.changes)
    same = sum(not change.changes for change in changes)
    if not changes:
        return "Neither list has an item."
    told = [f"{counts[word]} {IN_SUMMARY.get(word, word)}" for word in ORDER if counts[word]]
    unchanged = ([f"{same} unchanged"] if same else []) if told else ["nothing changed"]
    rises = [change.rise for change in changes if change.rise is not None]
    mean = sum(rises, Fraction(0)) / len(rises) if rises else Fraction(0)
    on_average = f" A kilogram costs {_percent(mean)} on average." if mean else ""
    return f"Of {whose} ({len(changes)}): {join_names([*told, *unchanged])}.{on_average}"


def _percent(share: Fraction) -> str:
    """A rise or a fall: `6.0 % more`."""
    return f"{share_text(abs(share))} {'more' if share > 0 else 'less'}"


def _change_tables(compared: ListComparison, changes: Sequence[RowChange], most: int) -> Iterator[Table]:
    """The items that changed: as many as people are shown, and the rest for programs."""
    changed = sorted((change for change in changes if change.changes), key=_place)
    columns = _columns(compared, changed)
    rows = tuple(_row(compared, change) for change in changed)
    if rows[:most]:
        left = count_text(len(rows) - most, "more change", "more changes")
        note = f"{left} in the files of `--csv` and `--xlsx`." if len(rows) > most else ""
        yield Table("list_changes", "Item by item", columns, rows[:most], note=note)
    if rows[most:]:
        yield Table("list_changes", "Item by item", columns, rows[most:], shown=False)


def _place(change: RowChange) -> tuple[int, Fraction]:
    """What is told first: what may stop an order, then the largest change of price."""
    return ORDER.index(change.changes[0]), -abs(change.rise or Fraction(0))


def _columns(compared: ListComparison, changes: Sequence[RowChange]) -> tuple[Column, ...]:
    code, unit = compared.currency.code, compared.weight_unit
    return (
        Column("change", "Change"),
        Column("item", "Item"),
        Column("cut", "Which is", shown=any(map(_other_cut, changes))),
        Column("price_now", "Now"),
        Column("was", "Was"),
        Column("rise_text", f"A {unit}", shown=any(change.rise for change in changes)),
        Column("price_before", "Before", shown=False),
        Column("code", "Code", shown=False),
        Column("per_kg_before", f"{code} a kg before", Holds.MONEY, shown=False),
        Column("per_kg_now", f"{code} a kg now", Holds.MONEY, shown=False),
        Column("rise_share", "Rise", Holds.SHARE, shown=False),
        Column("line", "Line", Holds.COUNT, shown=False),
    )


def _row(compared: ListComparison, change: RowChange) -> tuple[Cell, ...]:
    before, after = change.before, change.after
    renamed = before is not None and after is not None and OTHER_NAME in change.changes
    name = f"{change.row.name} (was {before.name})" if renamed and before else change.row.name
    was, now = (_price_text(compared, row) if row else None for row in (before, after))
    per_kg = (_money(compared, row.per_kg if row else None) for row in (before, after))
    return (
        *(", ".join(change.changes), name, _other_cut(change), now, _was_text(compared, change)),
        *(_rise_text(compared, change), was, change.row.code or None, *per_kg, change.rise, change.row.line),
    )


def _other_cut(change: RowChange) -> str | None:
    """The cut that an item is, where the list calls it something else."""
    return change.cut or None if fold_name(change.cut) != fold_name(change.row.name) else None


def _rise_text(compared: ListComparison, change: RowChange) -> str | None:
    """What a kilogram or a pound costs now, and by how much more: `2.07, +6.1 %`."""
    if not change.rise or change.after is None or change.after.per_kg is None:
        return None
    per_unit = change.after.per_kg * BASES_G[compared.weight_unit] / 1000
    sign = "+" if change.rise > 0 else "-"
    return f"{compared.currency.rounded(per_unit)}, {sign}{share_text(abs(change.rise))}"


def _was_text(compared: ListComparison, change: RowChange) -> str | None:
    """The price before, with what it was for where that has changed."""
    before, after = change.before, change.after
    if before is None:
        return None
    if before.price is not None and (after is None or _sold_as(before) == _sold_as(after)):
        return f"{before.price:.{compared.currency.digits}f}"
    return _price_text(compared, before)


def _sold_as(row: ListRow) -> Hashable:
    return row.basis, row.pack.weight if row.pack else ""


def _price_text(compared: ListComparison, row: ListRow) -> str:
    """A price as the list says it: `9.75 for 5 kg`, `2.40 per kg, 10 kg`; else that it is not sold."""
    if row.price is None:
        return "sold out" if row.standing is Standing.NOT_NOW else "not read"
    money = f"{row.price:.{compared.currency.digits}f}"
    pack = row.pack.weight if row.pack else ""
    if row.basis == "pack":
        return f"{money} for {pack}"
    return ", ".join(filter(None, (f"{money} per {row.basis}", pack)))


def _money(compared: ListComparison, amount: Fraction | None) -> Decimal | None:
    return None if amount is None else compared.currency.rounded(amount)


def _new_items(rows: Sequence[ListRow]) -> Iterator[Block]:
    """The new items whose words are those of a cut of ours; which it is, a person says."""
    catalogue = reference_catalogue(read_cuts())
    likely = [(row, cuts) for row in rows if row.sold_now and (cuts := likely_cuts(name_meaning(row.name), catalogue))]
    if likely:
        columns = (Column("item", "Item"), Column("looks_like", "Looks like"), Column("code", "Code", shown=False))
        shown = tuple((row.name, ", ".join(cuts[:1]), row.code or None) for row, cuts in likely[:MOST_NAMED])
        more = len(likely) - len(shown)
        note = "Put those that you want under `items` in the names file, or let `raworder start --from` ask." + (
            f" There are {more} more." if more else ""
        )
        yield Table("new_items", "New, and perhaps for you", columns, shown, note=note)


def _count_others(changes: Sequence[RowChange], others: Sequence[RowChange]) -> Iterator[Paragraph]:
    """How many of the items that are no cuts of ours changed, where files have them, and how many are not for dogs."""
    changed, never = sum(bool(change.changes) for change in others), sum(change.not_for_dogs for change in changes)
    says = (
        f"Of {count_text(len(others), 'item')} that you have not named, {changed} changed too: see `--csv`.",
        f"{count_text(never, 'item')} not for dogs left out.",
    )
    told = [text for text, how_many in zip(says, (changed, never), strict=True) if how_many]
    if told:
        yield Paragraph(" ".join(told))


def _doubts(compared: ListComparison) -> Iterator[str]:
    """Codes that stand twice, and lines of the new list that could not be read."""
    for which, each in (("old", compared.old), ("new", compared.new)):
        counts = Counter(_code(row) for row in each.rows if row.code)
        twice = [code for code, times in counts.items() if times > 1]
        yield from _named(f"The {which} list has the code", twice, "more than once: its lines are told apart by pack.")
    unread = [f"line {row.line}, {row.why}" for row in compared.new.rows if row.standing is Standing.UNREAD]
    yield from _named("Not read on the new list:", unread, "")


def _named(before: str, things: Sequence[str], after: str) -> Iterator[str]:
    """A sentence for each thing, and one that counts what is too many to name."""
    yield from (" ".join(filter(None, (before, thing, after))) for thing in things[:MOST_NAMED])
    if things[MOST_NAMED:]:
        yield f"{before} {len(things) - MOST_NAMED} more."
