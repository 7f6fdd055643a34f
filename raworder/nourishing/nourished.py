"""What every dog's food holds, beside what is published: the whole answer of this workshop."""

from raworder.dogs import Dog
from raworder.nourishing.beside import nutrient_lines, profile_of, ratio_lines
from raworder.nourishing.energy import energy_line
from raworder.nourishing.minded import Fed, minded
from raworder.nourishing.sums import Eaten, eaten_by_dog
from raworder.nourishment import Nourished
from raworder.plan import Plan
from raworder.trade import Scenario


def nourished(scenario: Scenario, plan: Plan) -> tuple[Nourished, ...]:
    """One for every dog that is fed, in the scenario's order; the scenario's grams are those of the plan."""
    eaten = eaten_by_dog(scenario, plan)
    return tuple(_nourished(scenario, plan, dog, eaten[dog.name]) for dog in scenario.dogs if dog.name in eaten)


def _nourished(scenario: Scenario, plan: Plan, dog: Dog, eaten: Eaten) -> Nourished:
    """What one dog's food holds; of a dog in care only the amounts are told."""
    profile = profile_of(scenario, dog)
    energy = energy_line(dog, eaten, {row.key: row for row in scenario.needs})
    lines = nutrient_lines(scenario, dog, eaten, profile)
    ratios = ratio_lines(scenario, eaten, profile)
    found = Nourished(dog.name, profile.name if profile else "", lines, ratios, energy)
    if dog.care is not None:
        return found
    portions = {one.cut: one.batch_g for one in plan.portions if one.dog == dog.name}
    return Nourished(dog.name, found.profile, lines, ratios, energy, minded(Fed(scenario, dog, portions, found)))
