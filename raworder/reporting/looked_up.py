"""What is looked up without a plan: cuts, rules and findings explained, and a scenario that was checked."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Protocol

from raworder.reporting.words import batch_text, count_text, join_names, paper, range_text, subject_text
from raworder.trade.cuts import RICH_FAT, Cut, Part
from raworder.trade.document import Block, Column, Document, Fact, Facts, Holds, Paragraph, Points, Table, Verbatim
from raworder.trade.dogs import Cap
from raworder.trade.labels import LabelSheet
from raworder.trade.nutrients import BoneCalcium, Trust
from raworder.trade.outputs import FORMATS, PAPERS
from raworder.trade.rulebook import PRACTICE, Rule
from raworder.trade.scenario import Scenario
from raworder.trade.units import share_text


class FigureOrigin(Protocol):
    """Where a figure of the reference table comes from."""

    @property
    def source(self) -> str:
        """Its source in words; empty where there is no figure."""

    @property
    def trust(self) -> Trust | None:
        """How far it can be trusted; None where there is no figure."""


class KnownCut(Protocol):
    """A cut of the reference table with where its figures come from."""

    @property
    def cut(self) -> Cut:
        """The cut itself."""

    @property
    def also_called(self) -> Sequence[str]:
        """Its other names."""

    @property
    def ndb_no(self) -> str:
        """Its number in the national nutrient database; empty where it is not in there."""

    @property
    def parts(self) -> FigureOrigin:
        """Where its parts come from."""

    @property
    def fat(self) -> FigureOrigin:
        """Where its fat comes from."""

    @property
    def piece(self) -> FigureOrigin:
        """Where the weight of a piece comes from."""

    @property
    def bone_range_source(self) -> str:
        """Why its share of bone is in doubt; empty where it is not."""

    @property
    def borrowed_from(self) -> str:
        """The number of the food whose analysis stands in for its own; empty where none does."""

    @property
    def analysis_source(self) -> str:
        """Where its analysis comes from, if not from the food of that number."""


class HelpTopic(Protocol):
    """A topic of the help."""

    @property
    def name(self) -> str:
        """The word by which it is shown."""

    @property
    def title(self) -> str:
        """Its heading."""

    @property
    def says(self) -> str:
        """The sentence that says what it is about."""

    @property
    def blocks(self) -> Sequence[Block]:
        """What it shows."""


class FieldsOfForm(Protocol):
    """A form of the scenario file."""

    @property
    def noun(self) -> str:
        """What it is called."""

    @property
    def says(self) -> str:
        """What it is about."""

    @property
    def fields(self) -> tuple[tuple[str, str], ...]:
        """Its fields, each with what it says."""

    @property
    def too(self) -> str:
        """The fields that it shares with other forms."""


HELP_TOO = (
    "`raworder help TOPIC` shows a topic, and with `--html FILE` writes it as a page.",
    "`raworder help WORD` also explains a command, a rule or a finding by its name.",
    "`raworder --help` lists the commands in the order of the job.",
)
"""What else the help can do."""

CUT_COLUMNS = (
    Column("cut", "Cut"),
    Column("species", "Species"),
    Column("kind", "Kind"),
    Column("parts", "Parts as bought"),
    Column("fat_share", "Fat", Holds.SHARE),
    Column("piece_g", "Piece", Holds.GRAMS),
    Column("also_called", "Also called", shown=False),
    Column("rich", "Rich", shown=False),
    Column("ndb_no", "NDB number", shown=False),
    Column("parts_source", "Source of parts", shown=False),
    Column("fat_source", "Source of fat", shown=False),
    Column("piece_source", "Source of piece", shown=False),
    Column("parts_provenance", "Parts are", shown=False),
    Column("fat_provenance", "Fat is", shown=False),
    Column("piece_provenance", "Piece is", shown=False),
    Column("analysis_source", "Source of analysis", shown=False),
    Column("bone_least", "Bone at least", Holds.SHARE, shown=False),
    Column("bone_most", "Bone at most", Holds.SHARE, shown=False),
    Column("bone_range_source", "Source of that range", shown=False),
    Column("bone_calcium", "Calcium in bone", Holds.SHARE, shown=False),
    Column("bone_calcium_least", "Calcium in bone at least", Holds.SHARE, shown=False),
    Column("bone_calcium_most", "Calcium in bone at most", Holds.SHARE, shown=False),
    Column("bone_calcium_source", "Source of calcium in bone", shown=False),
)
RICH_NOTE = (
    f"Rich are hearts, and what holds {share_text(RICH_FAT, 0)} fat or more as bought: common practice, no source."
)
HOW_SURE = (
    "seen: read in its source or a copy of it",
    "derived: worked out from what was seen",
    "memory: recalled or common practice, with nothing to check it against",
)
"""What the words beside the sources mean."""
FEW = 3
"""At most this many cuts are shown with the sources of their figures."""


BoneOf = Callable[[Cut], BoneCalcium]
"""What tells the calcium in the bone of a cut."""


def list_cuts(known: Sequence[KnownCut], bone_of: BoneOf, word: str = "", weight_unit: str = "kg") -> Document:
    """The cuts found for a word as a table, a few of them with their sources too."""
    about = f" with `{word}`" if word else ""
    title = f"{count_text(len(known), 'cut')}{about}"
    return Document("cuts", title, "", 2, weight_unit, tuple(_cut_blocks(known, bone_of)))


def _cut_blocks(known: Sequence[KnownCut], bone_of: BoneOf) -> Iterator[Block]:
    """The table, and for a few cuts the sources of each."""
    if not known:
        yield Paragraph("No cut of that name is in the reference table. A scenario can bring its own under `own_cuts`.")
        return
    yield Table("cuts", "", CUT_COLUMNS, tuple(_cut_row(cut, bone_of) for cut in known), note=RICH_NOTE)
    if len(known) <= FEW:
        yield from (_source_facts(cut, bone_of) for cut in known)
        yield Points("how_sure", "", HOW_SURE)


def _cut_row(known: KnownCut, bone_of: BoneOf) -> tuple[str | int | Fraction | None, ...]:
    """The row of one cut."""
    cut = known.cut
    return (
        cut.name,
        ", ".join(cut.species_names),
        cut.kind,
        parts_text(cut),
        cut.fat_share,
        cut.piece_g,
        ", ".join(known.also_called),
        "yes" if cut.rich else "no",
        known.ndb_no,
        *(origin.source for origin in (known.parts, known.fat, known.piece)),
        *(origin.trust.value if origin.trust else "" for origin in (known.parts, known.fat, known.piece)),
        _analysis_text(known),
        *_bone_cells(known, bone_of),
    )


def _bone_cells(known: KnownCut, bone_of: BoneOf) -> tuple[str | Fraction | None, ...]:
    """The range of a cut's bone, and the calcium in it, each with its source; empty where there is none."""
    cut = known.cut
    least, most = cut.bone_range or (None, None)
    bone = bone_of(cut) if _is_reckoned(known) else None
    calcium = (bone.share, bone.least, bone.most, bone.source) if bone else (None, None, None, "")
    return (least, most, known.bone_range_source, *calcium)


def parts_text(cut: Cut) -> str:
    """The parts of a cut in words: `muscle 64 %, bone 36 %`."""
    return ", ".join(f"{part.value} {share_text(share).replace('.0 %', ' %')}" for part, share in cut.parts if share)


def _source_facts(known: KnownCut, bone_of: BoneOf) -> Facts:
    """Where the figures of one cut come from."""
    bone_range = known.cut.bone_range
    labelled = {
        "cut": ("Cut", known.cut.name),
        "also_called": ("Also called", join_names(tuple(known.also_called))),
        "rich": ("Rich", "yes" if known.cut.rich else ""),
        "parts_source": ("Parts", _origin_text(known.parts)),
        "fat_source": ("Fat", _origin_text(known.fat)),
        "piece_source": ("Piece", _origin_text(known.piece)),
        "bone": ("Bone in doubt", f"{range_text(*bone_range)}: {known.bone_range_source}" if bone_range else ""),
        "bone_calcium": ("Calcium in bone", _calcium_text(bone_of(known.cut)) if _is_reckoned(known) else ""),
        "analysis": ("Analysis", _analysis_text(known)),
        "cautions": ("Cautions", join_names(known.cut.cautions)),
    }
    return Facts(
        "sources", tuple(Fact(key, *label_and_text) for key, label_and_text in labelled.items() if label_and_text[1])
    )


def _origin_text(origin: FigureOrigin) -> str:
    """The source of a figure and how sure it is, where the source does not say so itself."""
    says_itself = any(recalled in origin.source for recalled in ("from memory", PRACTICE))
    return origin.source if origin.trust is None or says_itself else f"{origin.source} ({origin.trust})"


def _analysis_text(known: KnownCut) -> str:
    """Where what is known of its nutrients comes from."""
    return known.analysis_source or f"SR28 {known.ndb_no}"


def _is_reckoned(known: KnownCut) -> bool:
    """Whether the calcium of its bone is an estimate: it has bone, and was not measured with it."""
    return known.cut.part_share(Part.BONE) > 0 and bool(known.ndb_no or known.borrowed_from)


def _calcium_text(bone: BoneCalcium) -> str:
    """The calcium in bone with its range, and its source."""
    return f"{share_text(bone.share)} ({range_text(bone.least, bone.most)}), {bone.trust.value}: {bone.source}"


def explain_rule(rule: Rule) -> Document:
    """One rule of the rulebook: what it demands, in words and as maths, its units and its source."""
    facts = (
        Fact("says", "Demands", rule.says),
        Fact("maths", "As maths", rule.maths),
        Fact("units", "Units", rule.units),
        Fact("source", "Source", rule.source),
    )
    return Document("rule", rule.key, "", 2, "kg", (Facts("rule", facts),))


def explain_finding(slug: str, paragraph: str, wrong: str, right: str) -> Document:
    """What a finding means, with a wrong and a right example."""
    examples = tuple(Verbatim(title, text) for title, text in (("Wrong", wrong), ("Right", right)) if text)
    return Document("finding", slug, "", 2, "kg", (Paragraph(paragraph), *examples))


def list_help_topics(topics: Iterable[HelpTopic]) -> Document:
    """The topics of the help, and what else can be looked up by its name."""
    columns = (Column("topic", "Topic"), Column("says", "What it tells"))
    table = Table("topics", "", columns, tuple((topic.name, topic.says) for topic in topics))
    return Document("help", "Help", "", 2, "kg", (table, Points("too", "", HELP_TOO)))


def help_page(topic: HelpTopic) -> Document:
    """One topic of the help."""
    return Document("topic", topic.title, "", 2, "kg", tuple(topic.blocks))


def rules_table(rules: Sequence[Rule]) -> Table:
    """Every rule with its demand."""
    columns = (Column("rule", "Rule"), Column("says", "Demands"))
    return Table("rules", "", columns, tuple((rule.key, rule.says) for rule in rules))


def findings_table(findings: Sequence[tuple[str, str]]) -> Table:
    """Every finding with the first sentence of what it says."""
    columns = (Column("finding", "Finding"), Column("says", "What it means"))
    return Table("findings", "", columns, tuple((name, _first_sentence(says)) for name, says in findings))


def _first_sentence(text: str) -> str:
    """The text up to its first full stop."""
    first, stop, _ = text.partition(". ")
    return f"{first}." if stop else first


def fields_tables(forms: Iterable[FieldsOfForm]) -> Iterator[Table]:
    """A table for every form of a scenario: its fields and what each says."""
    columns = (Column("field", "Field"), Column("says", "What it says"))
    for form in forms:
        title = f"{form.noun[:1].upper()}{form.noun[1:]}: {form.says[:1].lower()}{form.says[1:]}"
        yield Table("fields", title.rstrip("."), columns, form.fields, note=form.too)


def patterns_table(patterns: Mapping[str, Mapping[Part, tuple[Fraction, Fraction]]]) -> Table:
    """The patterns of targets with the range of every part."""
    order = dict.fromkeys(part for ranges in patterns.values() for part in ranges)
    rows = tuple((part.value, *(_whole_range_text(ranges.get(part)) for ranges in patterns.values())) for part in order)
    columns = (Column("part", "Part"), *(Column(f"pattern_{place}", name) for place, name in enumerate(patterns)))
    return Table("patterns", "", columns, rows)


def caps_table(always: Sequence[Cap], where_offered: Sequence[Cap]) -> Table:
    """The caps that hold unless a scenario says otherwise, by the words that set them."""
    cases = [*((cap, "always") for cap in always), *((cap, "where it is sold or on hand") for cap in where_offered)]
    rows = tuple((_cap_name(cap), share_text(cap.most, 0), when, cap.source) for cap, when in cases)
    columns = (Column("capped", "Cap"), Column("most", "At most"), Column("holds", "Holds"), Column("source", "Source"))
    return Table("caps", "", columns, rows)


def _cap_name(cap: Cap) -> str:
    """The word by which a cap is set, and what it means where that is not plain."""
    word = cap.subject.word or cap.subject.measure.value
    meaning = subject_text(cap.subject)
    return f"`{word}`" if meaning == word else f"`{word}`: {meaning}"


def _whole_range_text(limits: tuple[Fraction, Fraction] | None) -> str:
    """A range of whole percentages."""
    return "none" if limits is None else f"{limits[0] * 100} to {limits[1] * 100} %"


def sheets_table(sheets: Mapping[str, LabelSheet]) -> Table:
    """The sheets of labels that can be named."""
    columns = (Column("sheet", "Key"), Column("says", "Label, columns x rows, paper"))
    return Table("sheets", "", columns, tuple((key, sheet.name) for key, sheet in sheets.items()))


def papers_table() -> Table:
    """Every paper that a command prints by itself, with what it tells."""
    columns = (Column("key", "Name"), Column("says", "What it tells"), Column("command", "Printed by"))
    rows = tuple((paper.key, paper.tells, f"`{paper.command}`") for paper in PAPERS if paper.command)
    return Table("papers", "", columns, rows)


def formats_table() -> Table:
    """Every format that papers are written in, with the option that asks for it."""
    columns = (Column("option", "Option"), Column("says", "What it does"), Column("command", "Commands"))
    rows = tuple(
        (f"`{form.option}`", form.help, f"`{form.command}`" if form.command else "all that print papers")
        for form in FORMATS.values()
    )
    return Table("formats", "", columns, rows)


def check_summary(scenario: Scenario) -> Document:
    """What was read from a scenario that holds no mistake."""
    facts = (
        Fact("days", "Days", batch_text(scenario.batch)),
        Fact("dogs", "Dogs", len(scenario.dogs), Holds.COUNT),
        Fact("dog_days", "Dog-days", scenario.dog_days, Holds.COUNT),
        Fact("fed_g", "Food needed", sum(dog.batch_g for dog in scenario.dogs), Holds.ABOUT_GRAMS),
        Fact("on_hand_g", "On hand", sum(lot.grams for lot in scenario.on_hand), Holds.ABOUT_GRAMS),
        Fact("suppliers", "Suppliers", len(scenario.suppliers), Holds.COUNT),
        Fact("offers", "Offers", len(scenario.offers), Holds.COUNT),
        Fact("cuts", "Cuts", len(scenario.cuts), Holds.COUNT),
    )
    return paper(
        scenario, "check", f"Read without a mistake: {scenario.title}", (Facts("check", facts), _dog_table(scenario))
    )


def _dog_table(scenario: Scenario) -> Table:
    """The dogs, how their rations came about, and what they eat in all."""
    columns = (
        Column("dog", "Dog"),
        Column("ration", "Ration"),
        Column("targets", "Targets"),
        Column("days", "Days", Holds.COUNT),
        Column("batch_g", "Whole batch", Holds.ABOUT_GRAMS),
    )
    rows = tuple((dog.name, dog.ration_text, dog.targets_named, dog.days, dog.batch_g) for dog in scenario.dogs)
    return Table("dogs", "Dogs", columns, rows)
