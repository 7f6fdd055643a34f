"""The ration sheet: for every dog one page for its veterinarian, with what is fed and what it holds."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType

from raworder.reporting.doubts import ENERGY, doubts_of_dogs
from raworder.reporting.food_doubts import PRICED
from raworder.reporting.nutrition_words import (
    DESTROYED,
    about_text,
    bound_text,
    doses_text,
    energy_text,
    fed_text,
    stands_text,
)
from raworder.reporting.nutrition_words import range_text as energy_range_text
from raworder.reporting.words import Meal, batch_text, capitalised, days_text, join_names, meals, paper, range_text
from raworder.trade.cuts import Cut, Part
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table, Verbatim
from raworder.trade.dogs import Dog
from raworder.trade.nutrients import (
    LEAST_COVERAGE,
    BoneCalcium,
    ComparedBound,
    DogNutrition,
    NutrientLine,
    RatioLine,
    RuleLine,
    Standing,
    Trust,
    VetConcern,
    nutrient_of,
)
from raworder.trade.plan import Plan
from raworder.trade.rounding import apportion, half_up
from raworder.trade.scenario import FedScenario, Scenario
from raworder.trade.units import amount_text, grams_text, share_text

RULE_COLUMNS = (
    Column("rule", "Rule"),
    Column("fed", "Fed", Holds.AMOUNT),
    Column("of_rule", "Of it", Holds.SHARE),
    Column("known", "Known", Holds.SHARE),
    Column("stands", "Stands"),
    Column("dog", "Dog", shown=False),
)


def rule_rows(food: DogNutrition) -> Iterator[tuple[Cell, ...]]:
    """Every rule of a dog with the amount fed; of a nutrient that is destroyed only that it is not known."""
    for line in food.rules:
        compared = line.beside
        sure = compared is not None and not line.destroyed_by
        yield (
            bound_text(line.bound),
            compared.given if compared else None,
            compared.of_bound if compared and sure else None,
            None if line.destroyed_by else line.coverage,
            _rule_standing(line),
            food.dog,
        )


def _rule_standing(line: RuleLine) -> str:
    """Whether a rule is met, in a word."""
    if line.beside is None:
        return DESTROYED if line.destroyed_by else Standing.UNKNOWN.value
    spans = line.spans and line.coverage >= LEAST_COVERAGE
    return stands_text((line.beside,), spans=spans, destroyed=bool(line.destroyed_by))


INTRODUCTION = (
    "For the veterinarian of each dog: what it is fed on an average day, and what that holds as far as food tables "
    "know. Food tables give averages; your meat will differ. `Known` is the share of the food for which a value is "
    "known, where not all; below 90 % only what is sure is said. Nothing here is a diagnosis."
)

DEFERS = (
    "{dog} is in a veterinarian's care ({care}), so no needs and no limits are worked out for it. The veterinarian "
    "decides."
)

OTHER_UNKNOWN = "What it holds is not known, but for its energy, so less can be judged below."
OTHER_GIVEN = "It counts by the analysis that you gave; what that does not state is not known."

UNSTATED = "What a supplement's analysis does not state counts as none; `known` is about the food alone."

NUTRIENT_COLUMNS = (
    Column("nutrient", "Nutrient"),
    Column("unit", "Unit", shown=False),
    Column("day", "A day", Holds.AMOUNT),
    Column("due_day", "Least a day", Holds.AMOUNT),
    Column("per_1000_kcal", "In 1000 kcal", Holds.AMOUNT),
    Column("least", "Least", Holds.AMOUNT),
    Column("of_least", "Of it", Holds.SHARE),
    Column("most", "Most", Holds.AMOUNT),
    Column("known", "Known", Holds.SHARE),
    Column("stands", "Stands"),
    Column("least_day", "A day at least", Holds.AMOUNT, shown=False),
    Column("most_day", "A day at most", Holds.AMOUNT, shown=False),
    Column("profile", "Profile", shown=False),
    Column("bounds_trust", "Bounds are", shown=False),
    Column("dog", "Dog", shown=False),
)


NEXT = (
    ("raworder nourish FILE --all", "the full sheets: every figure"),
    ("raworder nourish FILE --html sheets.html", "the same, to print for a vet"),
    ("raworder gaps FILE", "what filling each gap costs"),
)
"""What to do next: a command, and what it gives."""

MOST_ALONE = 6
"""More dogs than this are told together."""

NOTHING_FOUND = "Nothing was found to be short or wrong, as far as the food is known."

AVERAGES = "Food tables give averages; your meat will differ. Nothing here is a diagnosis."


def ration_screen(scenario: FedScenario, plan: Plan) -> Document:
    """What is short or wrong in each dog's food and what to do about it, then where the full sheets are."""
    widest = max(len(command) for command, _ in NEXT)
    commands = Verbatim("Next", "\n".join(f"{command.ljust(widest)}   {gives}" for command, gives in NEXT))
    title = f"What the food holds: {days_text(scenario.batch.starts, scenario.batch.ends)}"
    return paper(scenario, "ration_sheet", title, (*_short_blocks(scenario, plan), commands, Paragraph(AVERAGES)))


def _short_blocks(scenario: FedScenario, plan: Plan) -> Iterator[Block]:
    """A short block for each dog; one for all where dogs are many."""
    dogs = {dog.name: dog for dog in scenario.dogs}
    if len(plan.nourished) > MOST_ALONE:
        judged = [doubt.sentences.removesuffix(PRICED) for doubt in doubts_of_dogs(scenario, plan, plan.nourished)]
        beside = join_names(list(dict.fromkeys(food.profile for food in plan.nourished if food.profile)))
        title = f"{len(plan.nourished)} dogs{_beside_text(beside)}"
        yield Points("", title, (*judged, "`raworder nourish FILE --dog NAME` tells of one dog."))
        return
    for food in plan.nourished:
        dog = dogs[food.dog]
        weight = f", {grams_text(dog.weight_g, scenario.weight_unit)}" if dog.weight_g else ""
        items = tuple(_short_items(scenario, plan, dog, food))
        yield Points("", f"{dog.name}{weight}{_beside_text(food.profile)}", items)


def _beside_text(profile: str) -> str:
    """What the food is held against."""
    return f": food beside {profile}" if profile else ""


def _short_items(scenario: FedScenario, plan: Plan, dog: Dog, food: DogNutrition) -> Iterator[str]:
    """What is wrong with one dog's food or can't be judged, or that nothing is."""
    if dog.care is not None:
        yield DEFERS.format(dog=dog.name, care=dog.care.value)
        return
    found = doubts_of_dogs(scenario, plan, (food,))
    if food.energy is not None and not any(doubt.key == ENERGY for doubt in found):
        published = f"{energy_range_text(food.energy)} kcal are published for a dog like this"
        yield f"Energy: {fed_text(food.energy)}; {published}."
    wrong = (*(doubt.sentences.removesuffix(PRICED) for doubt in found), *_other_bounds(food))
    yield from wrong or (NOTHING_FOUND,)
    doses = doses_text(scenario, plan, dog.name)
    if doses:
        yield f"Give beside the bags: {join_names(doses)}."


def _other_bounds(food: DogNutrition) -> Iterator[str]:
    """The bounds that are missed but named by nothing above, and those that can't be judged."""
    named = {concern.what.removeprefix("too little ").removeprefix("too much ") for concern in food.minded}
    named |= {"calcium"} if any(concern.key.startswith("calcium") for concern in food.minded) else set()
    found: dict[str, list[str]] = {}
    lines: tuple[NutrientLine | RatioLine, ...] = (*food.lines, *food.ratios)
    for line in lines:
        for compared in line.beside:
            says = ON_BONE if _is_on_bone(line, compared) else OTHER_BOUNDS.get(compared.standing, "")
            found.setdefault(says, []).append(about_text(compared.bound))
    for says in (*OTHER_BOUNDS.values(), ON_BONE):
        names = [name for name in dict.fromkeys(found.get(says, ())) if name not in named]
        if names:
            yield says.format(names=join_names(names), number=len(names))


def _is_on_bone(line: NutrientLine | RatioLine, compared: ComparedBound) -> bool:
    """Whether a bound can't be judged though the food is analysed for it, as how much bone holds differs."""
    return compared.standing is Standing.UNKNOWN and line.coverage >= LEAST_COVERAGE


OTHER_BOUNDS: Mapping[Standing, str] = MappingProxyType(
    {
        Standing.BELOW: "Below the minimum: {names}.",
        Standing.LITTLE_A_DAY: "Too little a day, as so little is fed: {names}.",
        Standing.ABOVE: "Above the maximum: {names}.",
        Standing.UNKNOWN: "{number} can't be judged: the food isn't analysed for {names}.",
    }
)
"""How bounds are told of which nothing else is said."""

ON_BONE = "Could be above or below, as bone differs so much: {names}."
"""The same of what bone holds most of."""


def ration_sheet(scenario: FedScenario, plan: Plan) -> Document:
    """A sheet for every dog that is fed, in the scenario's order."""
    return paper(scenario, "ration_sheet", "Ration sheets", _blocks(scenario, plan))


def _blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """For programs one table of all dogs, for people a sheet for each."""
    by_dog = {food.dog: food for food in plan.nourished}
    yield Paragraph(f"{batch_text(scenario.batch)}. {INTRODUCTION}")
    fed = [(meal, by_dog[meal.dog.name]) for meal in meals(scenario, plan) if meal.dog.name in by_dog]
    rows = tuple(row for _, food in fed for row in _nutrient_rows(food))
    yield Table("nutrients", "Nutrients", NUTRIENT_COLUMNS, rows, shown=False)
    rules = tuple(row for _, food in fed for row in rule_rows(food))
    if rules:
        yield Table("rules", "Rules on nutrients", RULE_COLUMNS, rules, shown=False)
    for meal, food in fed:
        yield from _dog_sheet(scenario, plan, meal, food)
    cuts = dict.fromkeys(cut for meal, _ in fed for cut, _ in meal.cuts)
    yield from _about_figures([food for _, food in fed], cuts, supplemented=bool(plan.doses))


def _dog_sheet(scenario: Scenario, plan: Plan, meal: Meal, food: DogNutrition) -> Iterator[Block]:
    """One dog's sheet."""
    dog = meal.dog
    yield _food_table(scenario, meal)
    doses = doses_text(scenario, plan, dog.name)
    if doses:
        yield Paragraph(f"Given beside it: {join_names(doses)}.")
    parts = [f"{part} {share_text(share)}" for part in Part if (share := meal.part_share(part))]
    yield Paragraph(f"Parts of the food: {', '.join(parts)}.")
    yield from _other_food(dog)
    if dog.care is not None:
        yield Paragraph(DEFERS.format(dog=dog.name, care=dog.care.value))
    elif food.energy is not None:
        yield Paragraph(f"Energy: {energy_text(food.energy, dog)}")
    title = f"{dog.name}: what it holds" + (f", beside {food.profile}" if food.profile else "")
    note = _figures_note(food, [cut for cut, _ in meal.cuts])
    yield Table(
        "", title, _shown_columns(food), tuple(_shown_cells(row, food) for row in _nutrient_rows(food)), note=note
    )
    if food.rules:
        yield _rule_table(dog, food)
    if food.minded:
        yield Points("", f"{dog.name}: what its food may do", tuple(map(_concern_text, food.minded)))


def _concern_text(concern: VetConcern) -> str:
    """What the food may do, how bad that is, and what helps."""
    return f"{capitalised(concern.grade)}: {concern.says}. {concern.advice}"


def _other_food(dog: Dog) -> Iterator[Paragraph]:
    """What a dog eats beside the plan, and what is known of that; nothing where it eats the plan's food alone."""
    if dog.other_food.says:
        known = OTHER_GIVEN if dog.other_food.analysis.values else OTHER_UNKNOWN
        yield Paragraph(f"Beside this food {dog.name} eats {dog.other_food.says} a day. {known}")


def _rule_table(dog: Dog, food: DogNutrition) -> Table:
    """The rules of a dog, as people see them."""
    shown = tuple(column for column in RULE_COLUMNS if column.shown)
    rows = tuple(row[: len(shown)] for row in rule_rows(food))
    note = f"They count this plan's food, without what {dog.name} eats beside it." if dog.other_food.says else ""
    return Table("", f"{dog.name}: rules that you set", shown, rows, note=note)


def _food_table(scenario: Scenario, meal: Meal) -> Table:
    """What is fed on an average day."""
    dog, days = meal.dog, meal.dog.days or 1
    day_g = half_up(Fraction(meal.total_g, days))
    days_g = apportion(day_g, [grams for _, grams in meal.cuts])
    rows = [
        (cut.name, a_day, Fraction(grams, meal.total_g)) for (cut, grams), a_day in zip(meal.cuts, days_g, strict=True)
    ]
    whole = ("together", day_g, Fraction(1))
    weight = f", {grams_text(dog.weight_g, scenario.weight_unit)}" if dog.weight_g else ""
    age = ", growing" if dog.puppy else ""
    columns = (Column("cut", "Fed"), Column("day_g", "A day", Holds.GRAMS), Column("share", "Share", Holds.SHARE))
    note = f"Ration: {dog.ration_text}." if dog.ration_text else ""
    return Table("", f"{dog.name}{weight}{age}", columns, tuple(rows), (whole,), note=note)


def _nutrient_rows(food: DogNutrition) -> Iterator[tuple[Cell, ...]]:
    """Energy and every nutrient with a bound (without a profile, every known one), then the ratios."""
    for line in food.lines:
        if line.beside or (not food.profile and line.coverage and line.day) or line.nutrient == "energy":
            yield _nutrient_row(line, food)
    yield from (_ratio_row(line, food) for line in food.ratios)


def _nutrient_row(line: NutrientLine, food: DogNutrition) -> tuple[Cell, ...]:
    """The row of a nutrient; amounts per 1000 kcal only where enough of the energy is known to divide by it."""
    nutrient = nutrient_of(line.nutrient)
    is_known = bool(line.coverage or line.day)
    for_mcal = is_known and food.line("energy").coverage >= LEAST_COVERAGE
    per_mcal = line.per_mcal if for_mcal and line.nutrient != "energy" else None
    least, of_least, most = _bound_cells(line.beside)
    spans = line.coverage >= LEAST_COVERAGE and line.least_day != line.most_day
    marks = f"{' *' * line.borrowed}{_recall_mark(line.beside)}{' ‡' * bool(line.destroyed_by)}"
    return (
        f"{nutrient.name}, {nutrient.unit}{marks}",
        nutrient.unit,
        line.day if is_known else None,
        next((compared.due_day for compared in line.beside if compared.due_day is not None), None),
        per_mcal,
        least,
        of_least if for_mcal and not line.destroyed_by else None,
        most,
        None if line.destroyed_by else line.coverage,
        stands_text(line.beside, spans=spans, destroyed=bool(line.destroyed_by)),
        line.least_day,
        line.most_day,
        food.profile,
        _trust_text(line.beside),
        food.dog,
    )


def _ratio_row(line: RatioLine, food: DogNutrition) -> tuple[Cell, ...]:
    """The row of a ratio of two nutrients."""
    name = f"{nutrient_of(line.over).name} to {nutrient_of(line.under).name}"
    bounds = _bound_cells(line.beside)
    return (
        f"{name}{_recall_mark(line.beside)}", "times", None, None, line.ratio, *bounds, line.coverage,
        stands_text(line.beside, spans=line.coverage >= LEAST_COVERAGE and line.least != line.most, destroyed=False),
        line.least, line.most, food.profile, _trust_text(line.beside), food.dog,
    )  # fmt: skip


def _bound_cells(beside: Iterable[ComparedBound]) -> tuple[Fraction | None, Fraction | None, Fraction | None]:
    """The least, the share of it that is fed, and the most."""
    least = next((compared for compared in beside if not compared.bound.is_upper), None)
    most = next((compared for compared in beside if compared.bound.is_upper), None)
    return (
        least.bound.amount if least else None,
        least.of_bound if least else None,
        most.bound.amount if most else None,
    )


def _recall_mark(beside: Iterable[ComparedBound]) -> str:
    """The mark for bounds, if one of them was recalled from memory."""
    return " †" if any(compared.bound.trust is Trust.MEMORY for compared in beside) else ""


def _trust_text(beside: tuple[ComparedBound, ...]) -> str:
    """How far the bounds can be trusted."""
    return ", ".join(dict.fromkeys(compared.bound.trust.value for compared in beside))


def _shown_columns(food: DogNutrition) -> tuple[Column, ...]:
    """The columns for people: those of bounds only where there are any, of a day only where energy is published."""
    left_out = BOUND_COLUMNS if not food.profile else WITH_A_DAY if food.energy else {"due_day"}
    return tuple(column for column in NUTRIENT_COLUMNS if column.shown and column.key not in left_out)


BOUND_COLUMNS = frozenset({"due_day", "least", "of_least", "most", "stands"})
WITH_A_DAY = frozenset({"of_least", "known"})
"""What stands not in columns of its own beside a day's minimums, so that the table fits a terminal of 80 columns."""


def _shown_cells(row: tuple[Cell, ...], food: DogNutrition) -> tuple[Cell, ...]:
    """The cells of a row in the columns that people see."""
    cells = {column.key: cell for column, cell in zip(NUTRIENT_COLUMNS, row, strict=True)}
    shown = [column.key for column in _shown_columns(food)]
    known = cells["known"]
    if "known" not in shown and isinstance(known, Fraction) and known < 1:
        cells["stands"] = _stands_and_known(str(cells["stands"]), known)
    return tuple(cells[key] for key in shown)


def _stands_and_known(stands: str, known: Fraction) -> str:
    """Where an amount stands, with the share of the food of which it is known."""
    if stands == Standing.UNKNOWN.value:
        return f"{stands} ({share_text(known)})" if known else "not known"
    return f"{stands} ({share_text(known)} known)" if stands else f"{share_text(known)} known"


def _destroyed_text(line: NutrientLine) -> str:
    """Why nothing is known of a nutrient whose amount the tables tell."""
    name, cuts = nutrient_of(line.nutrient).name, join_names(line.destroyed_by)
    return (
        f"‡ {cuts} can destroy {name}, its own and that of the food with it: the amount is that of food tables, "
        f"and how much of it is left nobody knows."
    )


def _figures_note(food: DogNutrition, cuts: Iterable[Cut]) -> str:
    """What to know about the numbers: the estimate for bone, what is destroyed or borrowed, bounds recalled."""
    sentences = list(_bone_notes(food, [cut for cut in cuts if cut.analysis.estimates]))
    sentences += _day_notes(food)
    sentences += [_destroyed_text(line) for line in food.lines if line.destroyed_by]
    if any(line.borrowed for line in food.lines):
        sentences.append("* some of it is from another table than the rest, or borrowed from the nearest food.")
    if _recall_mark(food.beside):
        sentences.append(f"† a bound of it is {Trust.MEMORY.says}.")
    return " ".join(sentences)


def _bone_notes(food: DogNutrition, bony: Sequence[Cut]) -> Iterator[str]:
    """By what share of calcium the bone that is fed was reckoned, and between what ends it leaves the dog's calcium."""
    if not bony:
        return
    calcium = food.line("calcium")
    used = dict.fromkeys(cut.analysis.bone_calcium for cut in bony if cut.analysis.bone_calcium)
    by_share = join_names([_bone_text(bones) for bones in _alike(used)])
    if calcium.least_day == calcium.most_day:
        yield f"Calcium and phosphorus of bone are counted at {by_share}."
        return
    yield (
        f"Calcium and phosphorus of bone are an estimate at {by_share}: there is {amount_text(calcium.least_day)} to "
        f"{amount_text(calcium.most_day)} mg of calcium a day."
    )
    doubtful = [f"{cut.name} ({range_text(*cut.bone_range)})" for cut in bony if cut.bone_range]
    if doubtful:
        yield f"How much bone there is can only be guessed for {join_names(doubtful)}."


def _alike(used: Iterable[BoneCalcium]) -> Iterable[Sequence[BoneCalcium]]:
    """Those of the same shares together."""
    found: dict[tuple[Fraction, Fraction, Fraction, Trust], list[BoneCalcium]] = {}
    for bone in used:
        found.setdefault((bone.share, bone.least, bone.most, bone.trust), []).append(bone)
    return found.values()


def _bone_text(bones: Sequence[BoneCalcium]) -> str:
    """How much calcium was counted in some bone: `2.0 % calcium in bone of poultry (1.3 to 3.6 %)`."""
    bone, whose = bones[0], join_names([bone.of.replace("mammal", "mammals") for bone in bones])
    between = f" ({range_text(bone.least, bone.most)})" if bone.least != bone.most else ""
    return f"{share_text(bone.share)} calcium in bone of {whose}{between}{', as stated' * (bone.trust is Trust.GIVEN)}"


def _day_notes(food: DogNutrition) -> Iterator[str]:
    """What a minimum a day goes by, and what it means that a day holds too little."""
    energy, standings = food.energy, {compared.standing for compared in food.beside}
    if energy is None or all(compared.due_day is None for compared in food.beside):
        return
    yield f"`Least a day` goes with the least energy published for {food.dog}, {half_up(energy.low)} kcal a day."
    if Standing.LITTLE_A_DAY in standings:
        yield (
            f"`{Standing.LITTLE_A_DAY}`: the minimum per 1000 kcal is met, or could be, but a day's food holds too "
            "little."
        )
        if energy.standing is Standing.BELOW:
            yield f"{food.dog} gets less energy than that: more food cures it."


def _other_source(cut: Cut) -> str:
    """Where an analysis is from that is not of the cut's own number in the table of all others; else nothing."""
    source = cut.analysis.source.removesuffix("the scenario").removesuffix("; ")
    return "" if source.startswith("SR28 ") else source


def _about_figures(foods: list[DogNutrition], cuts: Iterable[Cut], *, supplemented: bool) -> Iterator[Block]:
    """Where the figures come from, each source once."""
    energy = (source for food in foods if food.energy for source in food.energy.sources)
    bounds = (beside.bound.source for food in foods for beside in food.beside)
    concerns = (source for food in foods for concern in food.minded for source in concern.sources)
    tables = "USDA National Nutrient Database for Standard Reference, Release 28 (2015), by the NDB number of each cut"
    elsewhere = [f"{cut.name}: {source}" for cut in cuts if (source := _other_source(cut))]
    lent = any(line.borrowed for food in foods for line in food.lines)
    borrowed = (f"ANSES CIQUAL for what {'else ' * bool(elsewhere)}is marked *",) if lent else ()
    sources = dict.fromkeys((tables, *elsewhere, *borrowed, *energy, *bounds, *concerns))
    items = ["Energy of food: 4 kcal for a gram of protein and of carbohydrate, 9 for a gram of fat; bone gives none."]
    if supplemented:
        items.append(UNSTATED)
    yield Points("figures", "About the figures", tuple(items), tuple(sources))
