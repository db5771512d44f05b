"""An invented plan, lifelike enough to set a page by. No tank, keeper or shop behind it exists."""

from __future__ import annotations

import datetime as dt
import math

from slackwater.plan.records import (
    AheadRow,
    AnimalLine,
    Assumption,
    Before,
    Citation,
    Clash,
    Comfort,
    FeedingCard,
    HoleDrawing,
    NotRow,
    OrderCount,
    PieceDrawing,
    Plan,
    PowerCut,
    PressureMap,
    Release,
    Rung,
    RunStep,
    Stage,
    TankDrawing,
    WatchRow,
)

LENGTH_CM, WIDTH_CM, HEIGHT_CM, CELL_CM = 150.0, 60.0, 55.0, 5.0


def comfort(p: float, word: str, sentence: str, *, chases: float = 0.4, two: bool = False) -> Comfort:
    """Return a comfort record whose harm is all from fighting."""
    return Comfort(
        p=p,
        word=word,
        harm={"fought": p},
        chases_per_hour=chases,
        worst_from=None,
        sentence=sentence,
        low=p / 3,
        high=min(1.0, p * 2.5),
        two_outcomes=two,
    )


def sample_tank() -> TankDrawing:
    """Return two islands, four rough pieces each, in 150 x 60 x 55 cm."""
    pieces = (
        PieceDrawing("ellipsoid", (34.0, 33.0, 14.0), (19.0, 15.0, 11.0), 0.2),
        PieceDrawing("ellipsoid", (22.0, 38.0, 10.0), (12.0, 11.0, 8.0), -0.4),
        PieceDrawing("ellipsoid", (45.0, 27.0, 9.0), (10.0, 9.0, 6.0), 0.5),
        PieceDrawing("slab", (36.0, 34.0, 28.0), (17.0, 11.0, 2.5), 0.25),
        PieceDrawing("ellipsoid", (110.0, 35.0, 16.0), (17.0, 14.0, 13.0), -0.3),
        PieceDrawing("ellipsoid", (124.0, 30.0, 10.0), (12.0, 11.0, 8.0), 0.6),
        PieceDrawing("ellipsoid", (97.0, 30.0, 8.0), (9.0, 8.0, 5.0), 0.0),
        PieceDrawing("slab", (113.0, 34.0, 31.5), (15.0, 10.0, 2.5), -0.2),
    )
    holes = (
        HoleDrawing((28.0, 24.0, 12.0), 4.0, 2),
        HoleDrawing((42.0, 20.0, 9.0), 3.0, 1),
        HoleDrawing((104.0, 22.0, 13.0), 5.0, 2),
        HoleDrawing((118.0, 21.0, 10.0), 3.0, 1),
        HoleDrawing((36.0, 26.0, 24.0), 6.0, 2),
    )
    return TankDrawing(
        shape="rectangular",
        length_cm=LENGTH_CM,
        width_cm=WIDTH_CM,
        height_cm=HEIGHT_CM,
        net_l=412.0,
        rock_word="two islands",
        rock_kg=42.0,
        sand_cm=5.0,
        lid=True,
        pieces=pieces,
        holes=holes,
    )


def animal(key: str, said: str, science: str, common: str, **rest: object) -> AnimalLine:
    """Return a row with quiet defaults; `rest` overrides them."""
    values: dict[str, object] = {
        "count": 1,
        "sex": None,
        "resident": False,
        "wish": 5.0,
        "price": None,
        "form": "perch",
        "body_depth_ratio": 0.35,
    }
    return AnimalLine(
        key=key,
        said=said,
        scientific_name=science,
        common_name=common,
        **(values | rest),  # type: ignore[arg-type]
    )


def sample_animals() -> tuple[AnimalLine, ...]:
    """Return two residents and six wishes."""
    return (
        animal(
            "ocellaris",
            "our two clowns",
            "Amphiprion ocellaris",
            "Ocellaris clownfish",
            count=2,
            sex="pair",
            length_cm=6.0,
            adult_length_cm=9.0,
            form="oval",
            body_depth_ratio=0.44,
            resident=True,
            comfort=comfort(0.006, "at ease", "Nobody contests the right-hand island's top."),
            homes_cm=((126.0, 20.0, 32.0), (131.0, 24.0, 28.0)),
        ),
        animal(
            "gramma",
            "the purple and yellow one",
            "Gramma loreto",
            "Royal gramma",
            length_cm=5.5,
            adult_length_cm=8.0,
            form="basslet",
            body_depth_ratio=0.31,
            resident=True,
            comfort=comfort(0.014, "at ease", "Keeps its hole under the left slab."),
            homes_cm=((30.0, 20.0, 20.0),),
            assumed=("length taken as 5.5 cm",),
        ),
        animal(
            "firefish",
            "fire goby",
            "Nemateleotris magnifica",
            "Firefish",
            length_cm=6.0,
            adult_length_cm=8.0,
            form="goby",
            body_depth_ratio=0.19,
            price="28 EUR",
            comfort=comfort(
                0.031, "jostled", "The sixline passes its burrow a few times a day; it bolts and returns."
            ),
            homes_cm=((74.0, 16.0, 10.0),),
        ),
        animal(
            "cardinals",
            "3 pajama cardinals",
            "Sphaeramia nematoptera",
            "Pajama cardinalfish",
            count=3,
            length_cm=4.5,
            adult_length_cm=8.0,
            form="deep",
            body_depth_ratio=0.52,
            price="3 x 19 EUR",
            comfort=comfort(0.011, "at ease", "Hang together in the shade of the left slab."),
            homes_cm=((53.0, 38.0, 24.0), (58.0, 34.0, 27.0), (56.0, 42.0, 30.0)),
        ),
        animal(
            "blenny",
            "algae blenny",
            "Salarias fasciatus",
            "Lawnmower blenny",
            length_cm=7.0,
            adult_length_cm=12.0,
            form="blenny",
            body_depth_ratio=0.23,
            price="24 EUR",
            comfort=comfort(
                0.018, "at ease", "Sits on the low rock to the right; nobody else grazes there yet."
            ),
            homes_cm=((98.0, 24.0, 14.5),),
        ),
        animal(
            "coral_beauty",
            "coral beauty",
            "Centropyge bispinosa",
            "Coral beauty angelfish",
            length_cm=6.0,
            adult_length_cm=10.0,
            form="oval",
            body_depth_ratio=0.52,
            price="59 EUR",
            comfort=comfort(
                0.045, "jostled", "Follows the wrasse off its grazing ground; short runs, no contact."
            ),
            homes_cm=((112.0, 18.0, 22.0),),
            notes=("nips zoanthids and large-polyped corals now and then",),
        ),
        animal(
            "sixline",
            "six line",
            "Pseudocheilinus hexataenia",
            "Sixline wrasse",
            length_cm=4.5,
            adult_length_cm=7.5,
            form="wrasse",
            body_depth_ratio=0.29,
            price="32 EUR",
            comfort=comfort(
                0.022, "jostled", "Comes in small and late, so the others own the rock before it does."
            ),
            homes_cm=((44.0, 16.0, 14.0),),
        ),
        animal(
            "yellow_tang",
            "yellow tang",
            "Zebrasoma flavescens",
            "Yellow tang",
            length_cm=8.0,
            adult_length_cm=18.0,
            form="disc",
            body_depth_ratio=0.56,
            wish=10.0,
            price="149 EUR",
            comfort=comfort(
                0.019, "at ease", "Last and largest: it takes the open lane and has no equal here.", two=True
            ),
            homes_cm=((80.0, 34.0, 40.0),),
        ),
    )


_SIXLINE_EVENING = (
    RunStep("17:30", "Feed the residents well, at both stations."),
    RunStep("18:30", "Dim the light. Move the two marked stones of the left island a hand's width."),
    RunStep("19:00", "Open the box at the right end; lid back on at once."),
    RunStep("20:00", "Lights off."),
    RunStep("22:00", "Look with a red light: where does it sleep, is anyone pinned?"),
)
_TANG_EVENING = (
    RunStep("17:00", "Hang algae at both ends, mirror on the left end glass."),
    RunStep("18:00", "Feed the residents; dim the light."),
    RunStep("18:30", "Open the box in the middle lane; hands stay out of the tank."),
    RunStep("19:30", "Lights off. Mirror stays for two days."),
    RunStep("21:30", "Look with a red light: breathing calm, no scrape on the flank?"),
)


def _release(
    number: int, keys: tuple[str, ...], title: str, *, reason: str, evening: tuple[RunStep, ...] = ()
) -> Release:
    date = dt.date(2027, 2, 20) + dt.timedelta(days=21 * (number - 1))
    return Release(
        number=number,
        date=date,
        keys=keys,
        title=title,
        quarantine_from=date - dt.timedelta(days=32),
        quarantine_to=date - dt.timedelta(days=2),
        box_days=4 if evening else 0,
        reason=reason,
        go_when="all eat, at most 2 short chases in 10 minutes for 5 days",
        wait_if="anyone is off its food, or the newcomer in quarantine is not feeding",
        hard=bool(evening),
        run_sheet=evening,
        place="right end, low" if evening else "left end, beside the shaded slab",
    )


def sample_releases() -> tuple[Release, ...]:
    """Return five releases, three weeks apart."""
    return (
        _release(
            1,
            ("firefish", "cardinals"),
            "Firefish and three pajama cardinalfish",
            reason="Timid: first, while all is quiet.",
        ),
        _release(2, ("blenny",), "Lawnmower blenny", reason="Wants film algae; by now there is some."),
        _release(3, ("coral_beauty",), "Coral beauty", reason="Needs its ground before the tang crosses it."),
        _release(
            4,
            ("sixline",),
            "Sixline wrasse",
            reason="Owns any rock it meets empty: give it none.",
            evening=_SIXLINE_EVENING,
        ),
        _release(
            5,
            ("yellow_tang",),
            "Yellow tang",
            reason="Grows into the largest; holds the lane, not the rock.",
            evening=_TANG_EVENING,
        ),
    )


def sample_pressure(tank: TankDrawing) -> PressureMap:
    """Return a smooth invented field with no water inside the first rock of each island."""
    columns, rows, layers = (
        round(size / CELL_CM) for size in (tank.length_cm, tank.width_cm, tank.height_cm)
    )

    def pressure(x_cm: float, z_cm: float) -> float:
        left = 2.6 * math.exp(-(((x_cm - 48) / 20) ** 2) - ((z_cm - 18) / 16) ** 2)
        right = 1.5 * math.exp(-(((x_cm - 108) / 16) ** 2) - ((z_cm - 22) / 14) ** 2)
        return 0.04 + left + right

    def in_rock(x_cm: float, y_cm: float) -> bool:
        return any(math.hypot(x_cm - x, y_cm - y) < 8 for x, y in ((34, 33), (110, 35)))

    centres = [(i + 0.5) * CELL_CM for i in range(max(columns, rows, layers))]
    top = tuple(
        tuple(math.nan if in_rock(x, y) else pressure(x, y * 0.8) for x in centres[:columns])
        for y in centres[:rows]
    )
    front = tuple(
        tuple(math.nan if in_rock(x, z + 20) else pressure(x, z) for x in centres[:columns])
        for z in centres[:layers]
    )
    return PressureMap(cell_cm=CELL_CM, top=top, front=front, whose="Firefish", quiet_share=0.71)


def sample_plan() -> Plan:
    """Return the whole invented plan."""
    tank = sample_tank()
    releases = sample_releases()
    return Plan(
        title="Two islands (invented example)",
        number="2027-014",
        made_on=dt.date(2027, 1, 9),
        start=dt.date(2027, 1, 16),
        tank=tank,
        animals=sample_animals(),
        mood="settled",
        verdict=(
            "Yes to all six, in this order: the timid ones first, the wrasse small "
            "and late, the tang last. "
            "The firefish bears most, and it is jostled, no worse."
        ),
        watch_points=(
            (
                "The sixline takes over the left island",
                "firefish in its burrow at feeding time two days running",
            ),
            (
                "The gramma defends its slab against the cardinals",
                "open mouth and short runs that do not fade by day 4",
            ),
            ("The tang arrives thin", "belly behind the gill still hollow after a week of algae sheet"),
        ),
        releases=releases,
        befores=(
            Before(
                "Firefish",
                "Sixline wrasse",
                "an owner of its burrow is left alone, a newcomer is driven",
                0.21,
            ),
            Before(
                "Coral beauty",
                "Yellow tang",
                "the tang ignores a grazer it finds there, not one that arrives",
                0.08,
            ),
        ),
        orders=OrderCount(every=120, kept=30, best=1),
        proof=(
            "No other order leaves the worst-off animal better; proven over all "
            "120 orders of these five releases."
        ),
        stages=tuple(
            Stage(r.date, r.title, "settled", worst, p)
            for r, worst, p in zip(
                releases,
                ("Firefish",) * 2 + ("Coral beauty", "Firefish", "Firefish"),
                (0.01, 0.012, 0.02, 0.033, 0.031),
                strict=True,
            )
        ),
        assumptions=(
            Assumption("length of the royal gramma", "5.5 cm", "little: the advice holds from 4 to 8 cm"),
            Assumption("age of the tank", "eleven months", "below four months the blenny would wait"),
        ),
        question="Are the two clowns laying eggs, and if so where?",
        worst_key="firefish",
        pressure=sample_pressure(tank),
        feeding=FeedingCard(
            feeds_per_day=3.0,
            stations=2,
            lines=(
                "Morning: a sheet of dried algae on a clip at station 1, taken out in the evening.",
                (
                    "Noon and evening: small frozen food (mysis, copepods), half at each "
                    "station within a minute."
                ),
                "One pinch straight to the firefish at its burrow until it comes up by itself.",
                (
                    "Together about 3 cubes (9 g) a day when all have arrived; stop when "
                    "food reaches the sand."
                ),
            ),
            stations_cm=((14.0, 18.0, 52.0), (138.0, 30.0, 52.0)),
        ),
        watching=(
            WatchRow(
                "Leave it",
                "0 to 2 short chases in 10 minutes; newcomer pale or hidden on day 1",
                "Count heads at feeding, nothing else.",
            ),
            WatchRow(
                "Act today",
                "more than 10 chases in 10 minutes, rising counts, or kept from food",
                "Climb one rung of the ladder.",
            ),
            WatchRow(
                "Act now",
                "eye or flank wound, locked jaws, pinned at the surface, fast breathing at rest",
                "Box the victim or the chaser straight away; call the shop.",
            ),
        ),
        ladder=(
            Rung(
                1,
                "Feed more often and at both ends; second algae clip.",
                "3 days",
                ("the tally does not fall"),
            ),
            Rung(
                2,
                "Dim the light and shorten the day; for the tang, a mirror at the far end.",
                "2 to 3 days",
                "the tally does not fall",
            ),
            Rung(
                3,
                "Add a pipe or rubble with two exits where the throne cannot see it.",
                "same day",
                "still chased from it",
            ),
            Rung(
                6,
                "Put the sixline in a box out of sight and shift its stones.",
                "7 to 14 days",
                "attacks within an hour of its return",
            ),
        ),
        ahead=(
            AheadRow(
                6,
                (
                    "The pair may spawn: the two square metres round the nest become "
                    "theirs. Feed on the far side."
                ),
            ),
            AheadRow(
                24,
                (
                    "The tang is about 15 cm and turns in 150 cm of length with room to "
                    "spare; three feeds stay needed."
                ),
            ),
            AheadRow(
                60,
                (
                    "The tang is full grown at 18 cm. A lane of 150 cm is the least it "
                    "should have; plan for 180."
                ),
            ),
        ),
        not_to_add=(
            NotRow(
                "Zebrasoma scopas",
                "Scopas tang",
                "same body, same food as the yellow tang: fights without end in this length",
            ),
            NotRow(
                "Pseudochromis paccagnellorum",
                "Two-coloured dottyback",
                "a look-alike of the royal gramma and far harsher",
            ),
            NotRow(
                "Nemateleotris decora",
                "Purple firefish",
                "a second firefish is tolerated only as a proven pair",
            ),
        ),
        out_of_order=(
            "If the tang comes early, hold it in quarantine until the coral beauty "
            "has eaten for five days. "
            "If the sixline comes first, keep it boxed in view for a week after every later release."
        ),
        takes_back=(
            "The shop takes back the sixline or the tang for store credit within "
            "the first 90 days, if told beforehand."
        ),
        power_cut=PowerCut(
            hours_low=3.0,
            hours_high=6.0,
            assumed="26 C, 412 L, all animals fed that evening, no pump and no wind on the surface",
            first_to_fail=("Yellow tang", "Coral beauty"),
        ),
        hazards=(
            "Yellow tang: blades at the tail root cut skin; use a container, not the hand.",
            "Zoanthids carry palytoxin: gloves and glasses when cutting or scrubbing rock, never boil it.",
        ),
        cautions=(
            (
                "Switch pumps off at the plug before arms go in; use a "
                "residual-current breaker and drip loops."
            ),
            "Cover cuts. Tell a doctor about the tank if a wound on the hand does not heal.",
            "Never release an animal or live rock. Check your local law on listed species.",
            "For illness ask a veterinarian; this sheet names no treatment.",
        ),
        uncertain=(
            (
                "How harsh this sixline is: tempers within a species differ threefold, "
                "and the plan rests on a middling one."
            ),
            "Harm figures are assumed coefficients fitted to judged cases, not measurements.",
        ),
        sources=(
            Citation(
                "SAMPLE1",
                "Invented, A. (2020). A placeholder for a printed source. Journal of Examples 1, 1-9.",
            ),
            Citation(
                "SAMPLE2", "Invented, B. and C. (2021). Another placeholder. Annals of Examples 2, 10-19."
            ),
        ),
        left_out=(),
    )


def clashing_plan() -> Plan:
    """Return the sample with two animals that no order lets live together, and with parts missing."""
    base = sample_plan()
    values = {name: getattr(base, name) for name in base.__dataclass_fields__}
    return Plan(
        **values
        | {
            "mood": "in trouble",
            "verdict": "No order makes this list bearable: two tangs of one shape cannot share 150 cm.",
            "releases": (),
            "stages": (),
            "befores": (),
            "pressure": None,
            "power_cut": None,
            "sources": (),
            "no_order_bearable": True,
            "left_out": ("Scopas tang",),
            "clashes": (
                Clash(
                    ("yellow_tang", "scopas_tang"),
                    "The yellow tang and the scopas tang would fight until one is worn out, in any order.",
                    (
                        "Take one of the two.",
                        (
                            "A tank of 240 cm, both released on the same evening with the scopas a "
                            "third larger."
                        ),
                    ),
                ),
            ),
        }
    )
