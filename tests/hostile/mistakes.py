"""Every mistake made in the sound scenario, one at a time."""

from tests.hostile.mistake import Mistake
from tests.hostile.mistakes_of_dogs import MISTAKES_OF_DOGS
from tests.hostile.mistakes_of_labels import MISTAKES_OF_LABELS
from tests.hostile.mistakes_of_offers import MISTAKES_OF_OFFERS
from tests.hostile.mistakes_of_owners import MISTAKES_OF_OWNERS
from tests.hostile.mistakes_of_portioning import MISTAKES_OF_PORTIONING

MISTAKES: tuple[Mistake, ...] = (
    MISTAKES_OF_DOGS + MISTAKES_OF_OFFERS + MISTAKES_OF_PORTIONING + MISTAKES_OF_LABELS + MISTAKES_OF_OWNERS
)
