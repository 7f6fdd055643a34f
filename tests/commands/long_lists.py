"""An invented list of 4,000 lines as a wholesaler of food might send it, with nine lines for dogs among them."""

from itertools import cycle, islice, product

FOR_DOGS = (
    ("RINDERHERZ TK GANZ", "beef heart"), ("RINDERLEBER TK", "beef liver"), ("SCHWEINENIEREN", "pork kidney"),
    ("HÄHNCHENHÄLSE OHNE HAUT", "chicken neck skinless"), ("PUTENHÄLSE TK", "turkey neck"),
    ("PANSEN GRÜN", "beef green tripe"), ("LAMMLUNGE", "lamb lung"), ("HÄHNCHENMÄGEN TK", "chicken gizzard"),
    ("RINDERABSCHNITTE 80/20", "beef trim"),
)  # fmt: skip
"""The names of the nine with the cut that each is."""

DISHES = (
    "PIZZA", "SALAMI", "LEBERWURST", "BRATWURST", "SCHINKEN GEKOCHT", "FRIKADELLEN", "KÄSE", "EISCREME", "NUDELN",
    "SUPPE", "SAUCE", "POMMES", "GEWÜRZ", "SCHOKOLADE", "DESSERT", "BROT", "KROKETTEN",
)  # fmt: skip
PLAIN = ("DOSENDECKEL", "MÜLLBEUTEL", "ALUSCHALE", "REIS LANGKORN", "HÄHNCHEN CAESAR", "RIND ASIA", "OLIVEN", "ANANAS")
"""What says nothing that we know, and two that name an animal and no part."""

NEAR = ("HÄHNCHENFLÜGEL HOT", "PUTENBRUST PFANNE", "RINDERGULASCH SCHARF", "ENTENKEULE ORANGE", "LAMMSCHULTER ROM")
"""What looks like a cut of ours, and is meant for people."""

MAKERS = ("ALDERHOF", "BRENNER", "CORVIN", "DELLE", "EBERSBACH", "FALKEN", "GRÜNING", "HALDEN", "IMKER", "JASPER")
GROUPS = ("Getränke", "Molkerei", "Papier", "Reinigung")
LINES = 4_000


def long_list(price: str = "9,90") -> str:
    """The list as text, with semicolons and decimal commas; groups stand in rows of their own."""
    names = product(range(100), (*DISHES, *PLAIN, *NEAR[:1]), MAKERS)
    plain = [f"{name} {maker} {number}" for number, name, maker in islice(names, LINES - len(FOR_DOGS) - 440)]
    near = [f"{name} {maker}" for name, maker in islice(product(NEAR, MAKERS), 40)]
    grouped = [f"{group} SORTE {number}" for group, number in islice(product(GROUPS, range(100)), 400)]
    mixed = [*plain, *near]
    for place, (name, _) in enumerate(FOR_DOGS):
        mixed.insert(place * 400 + 37, name)
    rows = [*mixed, *grouped]
    lines = ["Artikelnummer;Artikel;Gebinde;Preis je kg"]
    for number, name in enumerate(rows):
        if name in grouped and grouped.index(name) % 100 == 0:
            lines.append(f"{name.split()[0]};;;")
        lines.append(f"{number:05};{name};{next(_PACKS)} kg;{price}")
    return "\n".join((*lines, ""))


_PACKS = cycle(("1", "2,5", "5", "10"))
