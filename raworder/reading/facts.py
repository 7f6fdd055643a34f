"""What checks of a whole scenario look at."""

from collections.abc import Sequence
from dataclasses import dataclass

from raworder.findings import Place
from raworder.reading.form import OfferForm, ScenarioForm
from raworder.reading.given import Given
from raworder.trade import Scenario


@dataclass(frozen=True, slots=True)
class Facts:
    """A scenario with the form and the price lines it was made from."""

    scenario: Scenario
    form: ScenarioForm
    lines: Sequence[tuple[str, OfferForm]]
    given: Given

    def note(self, slug: str, message: str, place: Place, remedy: str, note: str = "") -> None:
        """Note something doubtful or wrong."""
        self.given.notes.add(slug, message, place, remedy, note)
