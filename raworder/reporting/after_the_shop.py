"""After the shop: what was paid as against the plan, which targets are missed, and what must still be fetched."""

from collections.abc import Iterator

from raworder.document import Block, Column, Document, Fact, Facts, Holds, Paragraph, Points, Table
from raworder.receipt import AfterTheShop, Missed
from raworder.reporting.words import paper, subject_text
from raworder.trade import Scenario
from raworder.units import share_text

COLUMNS = (
    Column("dog", "Dog"),
    Column("what", "What"),
    Column("asked", "Asked"),
    Column("share", "Can get", Holds.SHARE),
    Column("off_g", "Off by", Holds.GRAMS),
)


def after_the_shop(scenario: Scenario, after: AfterTheShop) -> Document:
    """The paper that comes first after the shop."""
    return paper(scenario, "after_the_shop", "After the shop", _blocks(scenario, after))


def _blocks(scenario: Scenario, after: AfterTheShop) -> Iterator[Block]:
    """Money, then what is missed, then what helps."""
    money = [Fact("paid", "Paid", after.paid, Holds.MONEY)]
    if after.planned is not None:
        money.append(Fact("planned", "Planned", after.planned, Holds.MONEY))
    if after.to_fetch is not None:
        money.append(Fact("to_fetch", "Still to pay", after.to_fetch, Holds.MONEY))
    if after.short_g:
        money.append(Fact("short_g", "Too little food", after.short_g, Holds.GRAMS))
    yield Facts("after_the_shop", tuple(money))
    if after.short_g:
        yield Paragraph(
            "There is too little food in all. If nothing is fetched, every ration is cut by the same share; what a "
            "veterinarian gave is not."
        )
    if after.missed:
        rows = tuple((one.dog, subject_text(one.subject), _asked(one), one.share, one.off_g) for one in after.missed)
        note = "These are missed if nothing is fetched, all together by as few grams as can be."
        yield Table("missed", "Targets missed with what was bought", COLUMNS, rows, note=note)
    yield from _what_helps(scenario, after)


def _what_helps(scenario: Scenario, after: AfterTheShop) -> Iterator[Block]:
    """That it does, that it does as it is, or what to fetch."""
    if not after.filled:
        yield Paragraph(
            "No bags can be filled with what there is: fetch something, or feed by hand and ask a veterinarian."
        )
    elif after.as_it_is:
        yield Paragraph(
            "The papers below are for what was bought and nothing else; what is told above is missed in this batch. "
            "Ask a veterinarian when in doubt."
        )
    elif after.fetched:
        title = f"The cheapest to fetch, {scenario.currency.text(after.to_fetch or scenario.currency.minor * 0)}"
        yield Points("to_fetch", title, after.fetched)
        yield Paragraph(
            "The papers below are for what was bought and this together. With `--as-it-is` they are for what was "
            "bought alone. Room and budget are not counted any more, and a minimum order may ask for more than is "
            "missing."
        )
    elif after.missed or after.short_g:
        yield Paragraph("Nothing on the lists makes up for it. With `--as-it-is` the bags are filled all the same.")
    elif after.enough:
        yield Paragraph("What was bought and what is on hand does: every dog is fed within its rules.")
    else:
        yield Paragraph("What was bought does not do, and nothing that could be fetched was found.")


def _asked(one: Missed) -> str:
    """The range in words."""
    return f"at most {share_text(one.high)}" if not one.low else f"{share_text(one.low)} to {share_text(one.high)}"
