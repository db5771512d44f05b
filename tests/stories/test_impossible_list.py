"""A customer comes with an impossible list and leaves with three good ways to a tank in peace.

All animals, prices and dates are invented.
"""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from slackwater.service.choosing import choose_file
from slackwater.service.living import also_file, without_file
from slackwater.service.planning import plan_file

TODAY = dt.date(2026, 11, 24)

TANK = """
slackwater: 1
tank: {length: 150 cm, width: 60 cm, height: 55 cm, lid: true}
keeping: {feeds_per_day: 3, stations: 2, quarantine: {tanks: 2, days: 30}}
company:
  - {animal: ocellaris, count: 2, sex: pair, length: 6 cm, since: 2026-03-01}
wishes:
%s
limits: {start: 2027-01-09, budget: 400 EUR}
stock: stock.csv
"""

STOCK = """name,length,sex,price,count,since,eating
royal gramma,5 cm,,25 EUR,3,2026-11-01,yes
yellow tang,9 cm,,120 EUR,1,2026-11-10,yes
coral beauty,6 cm,,45 EUR,2,,yes
"""

HEART = (
    ("yellow tang", 10),
    ("firefish goby", 9),
    ("flame angel", 9),
    ("coral beauty", 8),
    ("royal gramma", 7),
    ("six line", 7),
    ("maroon clown", 6),
    ("volitans lionfish", 6),
    ("royal dottyback", 5),
    ("yellow watchman goby", 4),
)


def write(folder: Path, wishes: tuple[tuple[str, float], ...]) -> Path:
    lines = "\n".join(f"  - {{animal: {name}, wish: {wish}}}" for name, wish in wishes)
    (folder / "stock.csv").write_text(STOCK, encoding="utf-8")
    path = folder / "reef.yaml"
    path.write_text(TANK % lines, encoding="utf-8")
    return path


def test_an_impossible_list_becomes_three_good_ways(tmp_path: Path) -> None:
    # The list cannot be had whole, and the adviser can say why: who with whom, by which rule, says who.
    path = write(tmp_path, HEART)
    answer = choose_file(path, TODAY, most=3)
    assert not answer.everything
    assert answer.clashes
    assert all(clash.sentence and clash.sources for clash in answer.clashes)
    assert any("lionfish" in name for clash in answer.clashes for name in clash.names)

    # Three ways to yes, each with something that the others lack, each in peace and within the budget.
    assert len(answer.offers) == 3
    for offer in answer.offers:
        assert offer.mood == "settled"
        assert offer.price <= 400.0
        assert "red lionfish" in offer.left_out
        assert all(animal.word in {"at ease", "jostled"} for animal in offer.animals)
    kept = [{animal.key for animal in offer.animals} for offer in answer.offers]
    assert all(not a <= b for n, a in enumerate(kept) for m, b in enumerate(kept) if n != m)

    # The heart's fish is kept, and what is in the shop is marked with its size and price.
    best = answer.offers[0]
    gramma = next((a for a in best.animals if a.scientific_name == "Gramma loreto"), None)
    tang = next(a for a in best.animals if a.scientific_name == "Zebrasoma flavescens")
    assert tang.stock == "in stock: 9 cm, eats, since 2026-11-10"
    assert tang.price == "120 EUR"
    assert gramma is None or gramma.length_cm == 5.0

    # The customer takes the first way; the plan of it leaves nobody out.
    said = dict(HEART)
    chosen = tuple((animal.said, said[animal.said]) for animal in best.animals)
    plan = plan_file(write(tmp_path, chosen), TODAY)
    assert plan.left_out == ()
    assert len([line for line in plan.animals if not line.resident]) == len(best.animals)

    # Months later: who could come next, and nobody has to go.
    assert also_file(write(tmp_path, chosen), TODAY).fits
    assert without_file(path, TODAY).sentence.startswith("Nobody need leave")
