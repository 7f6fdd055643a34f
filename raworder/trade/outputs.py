"""What comes out: every paper with the command that prints it, and every format that papers are written in.

The options of commands, the page, the spreadsheets and the tables in the documents are made from these two tables. They
are plain data that imports nothing of ours, so that the command line can read them and still answer at once.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper: its key for programs and files, its title as it begins, what it tells, and the command that prints it.

    No command where it stands on the page alone, or in place of all others. With the option `with_plan` the command
    `plan` prints it too. `sheets` are the names of sheets of a workbook by the key of their table, where they are not
    called as that is.
    """

    key: str
    title: str
    tells: str
    command: str
    with_plan: str = ""
    sheets: tuple[tuple[str, str], ...] = ()

    @property
    def is_about_bags(self) -> bool:
        """Whether it goes with bags, and so says of which batch they are where the shop has changed them."""
        return self.command in {"portion", "labels"}


PAPERS = (
    Paper("after_the_shop", "After the shop", "what is short, what was paid and what must still be fetched", "replan",
          sheets=(("missed", "targets missed"),)),
    Paper("first_look", "", "what it costs and where, and what is wrong or doubtful about it", "plan",
          sheets=(("doubts", "look at this first"),)),
    Paper("summary", "Summary", "what is paid where, for which dogs and days, and what the food holds", "plan"),
    Paper("shopping_list", "Shopping list", "what to ask for at every supplier, and what the freezer gives", "plan",
          sheets=(("order", "shopping"),)),
    Paper("what_instead", "What to buy instead", "what to take if a line of the order is missing", "instead",
          with_plan="--card"),
    Paper("prices_to_ask", "Prices to ask for", "below which price to buy, and above which to stop", "prices",
          with_plan="--prices"),
    Paper("portioning_list", "Portioning list", "grams of every cut for every dog", "plan"),
    Paper("shares", "Shares, asked and given", "what was asked for beside what is given", "plan",
          sheets=(("parts", "shares of parts"),)),
    Paper("costs", "What it costs", "what each dog eats at the price really paid", "plan",
          sheets=(("by_dog", "costs by dog"), ("by_owner", "costs by owner"), ("by_supplier", "costs by supplier"),
                  ("by_part", "costs by part"))),
    Paper("cautions", "Cautions", "what this order asks you to do, what the food may do, what always holds", "plan"),
    Paper("kitchen", "Kitchen", "what goes into which kind of bag, on one page", "portion"),
    Paper("fridge_door", "Fridge door", "which bag for which dog on which day, and what to thaw", "portion"),
    Paper("kennels", "Kennels", "for many dogs: whose bags are which, kennel by kennel", "portion",
          sheets=(("kennel_cuts", "kennel cuts"),)),
    Paper("counter_sheet", "Counter sheet", "what goes into which bag, in the order in which it is needed", "portion",
          sheets=(("sizes", "bags by size"), ("dogs", "bags by dog"), ("kinds", "kinds of bag"))),
    Paper("bag_list", "Bag list", "every bag with its day, kind and weight", "portion"),
    Paper("batch_cards", "Batch cards", "what to weigh into each tub of a mix", "portion"),
    Paper("weeks", "Balanced weeks", "what every dog's bags hold over any seven days running", "portion"),
    Paper("thaw_plan", "Thaw plan", "which bags move to the refrigerator on which morning", "portion",
          sheets=(("moves", "thawing"),)),
    Paper("freezing", "Freezing", "how full the freezer is every evening, and what is frozen when", "portion",
          sheets=(("lots", "freezing"), ("evenings", "freezer by evening"))),
    Paper("freezer", "From the freezer, and back", "what the freezer gives first and gets back", ""),
    Paper("labels", "Labels", "whose each bag is, for which day, and what is in it", "labels"),
    Paper("frame", "Frame", "outlines to hold against a sheet of labels", "labels"),
    Paper("reminders", "Calendar", "what to do on which day", "calendar"),
    Paper("order_message", "Order messages", "the order in each supplier's own names and units", "message"),
    Paper("ration_sheet", "Ration sheets", "what each dog is fed and what that holds, for its veterinarian", "nourish"),
    Paper("household", "", "one owner's dogs, bags, days and money, on a page for each owner", "",
          sheets=(("own_dogs", "dogs of an owner"), ("own_days", "days of an owner"))),
    Paper("settle", "Who pays what", "what each owner pays, and the fewest payments", "settle",
          sheets=(("by_supplier", "bills"), ("by_owner", "how the bill is shared"), ("balances", "paid already"),
                  ("payments", "who pays whom"))),
    Paper("gaps", "What filling each gap costs", "what it costs to meet each bound of a profile", "gaps"),
    Paper("no_plan", "No plan", "the rules in the way, and what would help", "reasons"),
    Paper("unsolved", "No answer", "that neither a plan was found nor a proof that there is none", ""),
    Paper("mid_batch", "In the middle of the batch", "until when the bags there are enough, and whose go to whom",
          "replan"),
    Paper("suppliers", "Suppliers side by side", "each supplier alone, the best few, and each missing", "compare"),
    Paper("variants", "Side by side", "several scenarios or price lists, each against the first", "compare"),
    Paper("next_batch", "The next batch", "what differs from the last batch and why, and what is left to do", "next"),
    Paper("list_changes", "What changed on the list", "what is dearer, gone or new on a supplier's list", "changes",
          sheets=(("list_changes", "items"), ("new_items", "new items"))),
    Paper("worth_of_one_more", "Worth of one more", "what easing each rule by one step would save", "worth"),
    Paper("same_money", "Same money, nicer", "other orders for nearly the same money", "nicer"),
    Paper("what_if", "What if", "what changes would cost", "whatif"),
    Paper("book", "The book", "all that was entered in the book, entry by entry", "book"),
    Paper("stock", "In the freezer", "what is in the freezer, and until when it feeds each dog", "stock",
          sheets=(("cover", "enough until"), ("loose_lots", "loose food"), ("kept_bags", "bags"))),
    Paper("trace", "Trace", "which bags hold something, what not to feed, and who ate of it", "trace",
          sheets=(("traced_lots", "lots"), ("traced_bags", "bags"))),
    Paper("bag_origin", "In this bag", "what went into a bag, from whom and when", "trace",
          sheets=(("traced_lots", "lots"),)),
    Paper("power_cut", "Power cut", "what to keep after a power cut, and what is in the freezer", "powercut",
          sheets=(("by_cut", "freezer by cut"), ("kept_bags", "bags"))),
    Paper("insurer_sheet", "Food in the freezer", "what the food cost, to be signed for an insurer", "powercut",
          sheets=(("claimed", "for the insurer"),)),
    Paper("history", "Prices", "what each cut was paid, and how dear it is on today's list", "history",
          sheets=(("prices_by_cut", "prices"),)),
    Paper("cut_history", "", "what one cut has cost, by day and supplier", "history",
          sheets=(("prices_by_day", "prices"),)),
    Paper("weights", "Weights", "how dogs' weights change, and what is proposed to feed next", "weights"),
    Paper("check", "Read without a mistake", "what was read from a scenario", "check"),
    Paper("cuts", "", "the cuts that were looked up", "cuts"),
    Paper("help", "Help", "the topics of the help", "help"),
    Paper("topic", "", "a topic of the help", "help"),
    Paper("rule", "", "what a rule demands", "help"),
    Paper("finding", "", "what a finding means", "help"),
)  # fmt: skip
"""Every paper, those of one command in the order in which it prints them; no title where each has another."""

ON_PAGE = (
    *("first_look", "shopping_list", "kitchen", "fridge_door", "household", "kennels", "labels"),
    *("summary", "freezer", "portioning_list", "shares", "costs", "settle", "prices_to_ask"),
    *("counter_sheet", "batch_cards", "bag_list", "thaw_plan", "freezing", "weeks"),
    *("ration_sheet", "cautions"),
)
"""What stands on the page of a batch: what people hold in the order of the work, then the figures behind it."""

HELD = frozenset({"after_the_shop", *ON_PAGE[: ON_PAGE.index("summary")]})
"""What people hold; all other papers of a page stand behind a fold, where there is any of these."""

IN_SPREADSHEETS = (
    *("first_look", "summary", "shopping_list", "what_instead", "prices_to_ask", "portioning_list", "bag_list"),
    *("shares", "costs", "cautions", "settle"),
    *("kitchen", "fridge_door", "kennels", "counter_sheet", "batch_cards", "weeks", "thaw_plan", "freezing"),
)
"""Whose tables stand in the workbook and the CSV files of a batch, in order."""


def printed_by(command: str) -> tuple[str, ...]:
    """The keys of the papers that a command prints by itself, in order."""
    return tuple(paper.key for paper in PAPERS if paper.command == command)


def place_in_print(key: str) -> int:
    """How far behind the others a paper is printed."""
    return [paper.key for paper in PAPERS].index(key)


class Content(StrEnum):
    """What a format holds of a plan: what is printed, all papers of its command, their tables, or the page."""

    PRINTED = "what is printed"
    PAPERS = "the papers"
    TABLES = "every table"
    PAGE = "the page"
    OWN = "what its command says"


@dataclass(frozen=True, slots=True)
class Format:
    """A format: its key, which is its option too, what it holds, how its files end, and what its help says.

    `command` alone has it and writes it; where none is named, every command that prints papers does.
    """

    key: str
    content: Content
    suffixes: tuple[str, ...]
    help: str
    command: str = ""
    metavar: str = "FILE"

    @property
    def option(self) -> str:
        """What is typed for it."""
        return f"--{self.key}"


FORMATS: Mapping[str, Format] = MappingProxyType(
    {
        kind.key: kind
        for kind in (
            Format("json", Content.PRINTED, (), "Print the same facts for programs."),
            Format("markdown", Content.PAPERS, (".md",), "Write the papers as Markdown too."),
            Format("html", Content.PAGE, (".html",), "Write a page to print, or for a phone, too."),
            Format("csv", Content.TABLES, (".csv",), "Write every table as a CSV file too.", metavar="FOLDER"),
            Format("xlsx", Content.TABLES, (".xlsx",), "Write a workbook with every table too."),
            Format("ics", Content.OWN, (".ics",), "Write the reminders as a calendar file for a phone too.",
                   command="calendar"),
            Format("blank", Content.OWN, (".csv", ".yaml", ".yml"),
                   "Write a receipt with all as planned, to be altered: .csv or .yaml.", command="replan"),
        )
    }
)  # fmt: skip
"""Every format by its key, in the order in which help tells of them."""
