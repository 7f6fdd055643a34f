"""What every dog's food holds, beside what is published: the whole answer of this workshop."""

from collections.abc import Mapping
from dataclasses import replace

from raworder.dogs import Dog
from raworder.nourishing.beside import nutrient_lines, profile_of, ratio_lines, rule_lines
from raworder.nourishing.energy import energy_line
from raworder.nourishing.minded import Fed, minded
from raworder.nourishing.sums import Eaten, eaten_by_dog
from raworder.nourishment import Nourished
from raworder.plan import Dose, Plan
from raworder.trade import Scenario


def nourished(scenario: Scenario, plan: Plan) -> tuple[Nourished, ...]:
    """One for every dog that is fed, in the scenario's order; the scenario's grams are those of the plan."""
    eaten = eaten_by_dog(scenario, plan)
    portions: dict[str, dict[str, int]] = {}
    for one in plan.portions:
        portions.setdefault(one.dog, {})[one.cut] = one.batch_g
    told = (dog for dog in scenario.dogs if dog.name in eaten)
    doses = {dog.name: tuple(one for one in plan.doses if one.dog == dog.name) for dog in scenario.dogs}
    return tuple(_nourished(scenario, dog, eaten[dog.name], portions[dog.name], doses[dog.name]) for dog in told)


def _nourished(
    scenario: Scenario, dog: Dog, eaten: Eaten, portions: Mapping[str, int], doses: tuple[Dose, ...]
) -> Nourished:
    """What one dog's food holds; of a dog in care only the amounts are told."""
    profile = profile_of(scenario, dog)
    energy = energy_line(dog, eaten, {row.key: row for row in scenario.needs})
    lines = nutrient_lines(scenario, dog, eaten, profile)
    ratios = ratio_lines(scenario, eaten, profile)
    rules = rule_lines(scenario, dog, eaten)
    found = Nourished(dog.name, profile.name if profile else "", lines, ratios, energy, rules=rules)
    if dog.care is not None:
        return found
    cuts = {cut.name: cut for cut in scenario.cuts}
    return replace(found, minded=minded(Fed(scenario, dog, cuts, portions, doses, found)))
