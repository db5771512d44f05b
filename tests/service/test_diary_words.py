"""Words typed at the counter become records, and records become sentences."""

import pytest

from slackwater.errors import InputError
from slackwater.service.diary_checks import matched
from slackwater.service.diary_sentences import sentence
from slackwater.service.diary_words import WORDS, read_words
from slackwater.society.diary import (
    KINDS,
    Bearing,
    BodyPart,
    Breathing,
    Brood,
    BroodSign,
    ChaseKind,
    Chases,
    Death,
    Divider,
    Eating,
    Feed,
    HeadCount,
    KeptApart,
    Length,
    Manner,
    Mark,
    Missing,
    Place,
    Release,
    Remark,
    RemedyBegun,
    RemedyEnded,
    Removal,
    Result,
    RockMoved,
    Seen,
    Sighted,
    Sign,
    TakenBack,
    Watch,
    WaterTest,
)

KNOWN = ("yellow tang", "ocellaris 1", "ocellaris 2", "six line", "ocellaris")
TANG, WRASSE = "yellow tang", "six line"

TOLD: list[tuple[str, Seen, str]] = [
    (
        "chase tang six 3",
        Watch(10.0, (Chases(TANG, WRASSE, 3),)),
        "yellow tang chases six line 3 times (10 min watched)",
    ),
    (
        "locked ocellaris_1 ocellaris_2",
        Watch(10.0, (Chases("ocellaris 1", "ocellaris 2", 1, ChaseKind.LOCKED),)),
        "ocellaris 1 locks jaws with ocellaris 2 (10 min watched)",
    ),
    ("watch 15", Watch(15.0), "quiet (15 min watched)"),
    ("count 3 six", HeadCount(3, (WRASSE,)), "3 counted; not seen: six line"),
    ("count 4", HeadCount(4), "4 counted"),
    ("ate tang nori sheet", Eating(TANG, food="nori sheet"), "yellow tang eats: nori sheet"),
    ("refused six", Eating(WRASSE, ate=False), "six line refuses food"),
    ("breath tang 90", Breathing(TANG, 90.0), "yellow tang breathes 90 times a minute"),
    (
        "mark tang fin torn to the base",
        Mark(TANG, BodyPart.FIN, Sign.TORN_TO_BASE),
        "yellow tang, fin: torn to the base",
    ),
    ("mark tang eye cl", Mark(TANG, BodyPart.EYE, Sign.CLOUDY), "yellow tang, eye: cloudy"),
    ("hides six", Bearing(WRASSE, Manner.HIDES), "six line: hides"),
    ("reflection tang", Bearing(TANG, Manner.GLASS), "yellow tang: fights its reflection"),
    ("brood eggs ocellaris", Brood(("ocellaris",), BroodSign.EGGS), "ocellaris: eggs"),
    ("length tang 4in", Length(TANG, 10.16), "yellow tang is 10.2 cm long"),
    ("water ph=8,1 temperature=26C", WaterTest(ph=8.1, temperature_c=26.0), "water: 26 C, pH 8.1"),
    ("feed mysis 4", Feed("mysis", 4.0), "fed mysis, 4 g"),
    ("feed", Feed(), "fed"),
    ("feed mysis", Feed("mysis"), "fed mysis"),
    (
        "rock left pile to the right",
        RockMoved("left pile to the right"),
        "rock moved: left pile to the right",
    ),
    ("sump tang", KeptApart(TANG, Place.SUMP), "yellow tang into the sump"),
    ("back tang sump", KeptApart(TANG, Place.SUMP, begins=False), "yellow tang back from the sump"),
    ("back tang", KeptApart(TANG, Place.BOX, begins=False), "yellow tang back from the box in the tank"),
    (
        "divider in tang | six, ocellaris",
        Divider(left=(TANG,), right=(WRASSE, "ocellaris")),
        "divider in: yellow tang | six line, ocellaris",
    ),
    ("divider out", Divider(begins=False), "divider out"),
    ("died ocellaris 2", Death("ocellaris", 2), "2 ocellaris found dead"),
    ("missing six", Missing(WRASSE), "six line looked for and not seen"),
    ("found six in the overflow", Sighted(WRASSE, "in the overflow"), "six line seen in the overflow"),
    ("came gramma 2 5cm", Release("gramma", 2, 5.0), "2 gramma released, 5 cm"),
    ("left tang the shop", Removal(TANG, where_to="the shop"), "yellow tang taken out: the shop"),
    ("remedy timeout tang", RemedyBegun("timeout", (TANG,)), "remedy begun: timeout for yellow tang"),
    ("result 4 helped", RemedyEnded(4, Result.HELPED), "remedy of entry 4 ended: helped"),
    ("note", Remark(), "note"),
]


def words(told: str) -> list[str]:
    """Split as a shell would; an underscore stands for a quoted blank."""
    return [word.replace("_", " ") for word in told.split()]


@pytest.mark.parametrize(("told", "seen", "said"), TOLD, ids=[told for told, _, _ in TOLD])
def test_words_are_read_and_said_again(told: str, seen: Seen, said: str) -> None:
    read = read_words(words(told), KNOWN, 10.0)
    assert read == seen
    assert sentence(read) == said


def test_every_kind_but_taking_back_can_be_told() -> None:
    assert {seen.kind for _, seen, _ in TOLD} == set(KINDS) - {TakenBack.kind}
    assert sentence(TakenBack()) == "taken back"


def test_every_word_is_tried_or_alike() -> None:
    tried = {told.split()[0] for told, _, _ in TOLD}
    alike = {
        "display",
        "bite",
        "out",
        "pale",
        "pinned",
        "lying",
        "gasping",
        "rubbing",
        "fights",
        "box",
        "away",
    }
    assert set(WORDS) == tried | alike
    for word in alike - {"display", "bite"}:
        assert read_words([word, "tang"], KNOWN).kind in {"bearing", "apart"}


def test_a_chase_in_passing_and_a_quiet_watch() -> None:
    assert sentence(read_words(["bite", "tang", "six"], KNOWN)) == "yellow tang bites six line (in passing)"
    with pytest.raises(InputError, match="the minutes"):
        read_words(["watch"], KNOWN)


def test_nitrogen_is_counted_as_kits_read_it() -> None:
    """20 mg/L of nitrate is 4.52 mg/L of nitrogen: 20 * 14.007 / 62.005, by atomic masses."""
    read = read_words(["water", "nitrate=20", "nitrite-N=0.5", "ammonia=0.1"], KNOWN)
    assert isinstance(read, WaterTest)
    assert read.nitrate_mg_l == pytest.approx(20 * 14.007 / 62.005, rel=1e-3)
    assert read.nitrite_mg_l == 0.5
    assert read.tan_mg_l == pytest.approx(0.1 * 14.007 / 18.039, rel=1e-3)


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ("chas tang six", r"Did you mean chase\?"),
        ("sneeze tang", "Begin with one of: display, chase"),
        ("chase", "who is missing"),
        ("chase tang", "whom is missing"),
        ("chase tang tang", "does not chase itself"),
        ("chase tang six many", "it is not a number"),
        ("chase tang six 2.5", "whole"),
        ("chase tang six -2", "between 0 and"),
        ("ate kraken", "Those of this tank"),
        ("ate ocellaris_3", "Did you mean"),
        ("ate", "the animal is missing"),
        ("mark tang wing torn", "Write one of: eye"),
        ("mark tang fin", "Write one of: scrape"),
        ("mark tang fin torn_t", None),
        ("divider sideways", "in, out"),
        ("back tang bucket", "box, sump, away"),
        ("water", "it needs a reading"),
        ("water ph", "it has no ="),
        ("water kh=7", r"Did you mean|Known are"),
        ("water ph=acid", "not a number"),
        ("water ph=15", "between 4 and 11"),
        ("length tang", "the length is missing"),
        ("result 4 miracle", "Write one of: worked"),
        ("breath tang 4000", "between 1 and 400"),
        ("", "Begin with one of"),
    ],
)  # fmt: skip
def test_what_is_no_entry_is_refused(told: str, said: str | None) -> None:
    if said is None:
        assert read_words(words(told), KNOWN) == Mark(TANG, BodyPart.FIN, Sign.TORN_TO_BASE)
        return
    with pytest.raises(InputError, match=said):
        read_words(words(told), KNOWN)


def test_a_part_of_a_label_is_enough_where_it_tells() -> None:
    assert matched("YELLOW", KNOWN) == TANG
    assert matched("ocellaris", KNOWN) == "ocellaris"
    assert matched("ocellaris 2", KNOWN) == "ocellaris 2"
    with pytest.raises(InputError, match="that may be blue tang or yellow tang"):
        matched("tang", ("blue tang", "yellow tang"))
    with pytest.raises(InputError, match="Save who lives there"):
        matched("tang", ())
