"""Names as customers write them: slips, plurals, sizes and sexes glued on, asking back."""

from __future__ import annotations

import pytest

from slackwater.taxa.facts import load_facts
from slackwater.taxa.names import Meaning, Verdict, entries, understand

ONE = {
    "yelow tang": "Zebrasoma flavescens",
    "Yellow Tangs": "Zebrasoma flavescens",
    "YELLOW TANG lg": "Zebrasoma flavescens",
    "2x yellow tang 3 inch": "Zebrasoma flavescens",
    "purpel tang": "Zebrasoma xanthurum",
    "scopas tang (med)": "Zebrasoma scopas",
    "desjardini sailfin tang": "Zebrasoma desjardinii",
    "powder blue tang": "Acanthurus leucosternon",
    "powderblue tang": "Acanthurus leucosternon",
    "powder blu tang 10cm": "Acanthurus leucosternon",
    "Achillies tang": "Acanthurus achilles",
    "convict tang": "Acanthurus triostegus",
    "sohal": "Acanthurus sohal",
    "kole tang": "Ctenochaetus strigosus",
    "yellow eye kole tang": "Ctenochaetus strigosus",
    "tomini tang small": "Ctenochaetus tominiensis",
    "hippo tang": "Paracanthurus hepatus",
    "regal tang": "Paracanthurus hepatus",
    "blonde naso": "Naso elegans",
    "ocellaris": "Amphiprion ocellaris",
    "pair of ocellaris clowns": "Amphiprion ocellaris",
    "2 ocelaris clownfish": "Amphiprion ocellaris",
    "occelaris clown fish": "Amphiprion ocellaris",
    "percula clown": "Amphiprion percula",
    "tomatoe clown": "Amphiprion frenatus",
    "maroon clown female": "Amphiprion biaculeatus",
    "Premnas biaculeatus": "Amphiprion biaculeatus",
    "clarkii clown": "Amphiprion clarkii",
    "six line wrasse": "Pseudocheilinus hexataenia",
    "sixline": "Pseudocheilinus hexataenia",
    "6 line wrasse": "Pseudocheilinus hexataenia",
    "6-line wrasse 4 cm": "Pseudocheilinus hexataenia",
    "melanurus wrass": "Halichoeres melanurus",
    "cleaner wrasse": "Labroides dimidiatus",
    "royal gramma": "Gramma loreto",
    "royal grama": "Gramma loreto",
    "royal grammas x3": "Gramma loreto",
    "orchid dotty back": "Pseudochromis fridmani",
    "strawberry dottyback": "Pictichromis porphyrea",
    "flame angel": "Centropyge loricula",
    "flame angle": "Centropyge loricula",
    "coral beauty angelfish": "Centropyge bispinosa",
    "coral beuty": "Centropyge bispinosa",
    "emperor angelfish juv": "Pomacanthus imperator",
    "copperband butterfly": "Chelmon rostratus",
    "copper band butterfly fish": "Chelmon rostratus",
    "yellow watchman goby": "Cryptocentrus cinctus",
    "neon goby": "Elacatinus oceanops",
    "lawnmower blenny": "Salarias fasciatus",
    "lawn mower blennie": "Salarias fasciatus",
    "midas blennies": "Ecsenius midas",
    "green chromis": "Chromis viridis",
    "7 blue green chromis": "Chromis viridis",
    "banggai cardinals": "Pterapogon kauderni",
    "bangai cardinal fish": "Pterapogon kauderni",
    "pajama cardinal": "Sphaeramia nematoptera",
    "pyjama cardinalfish": "Sphaeramia nematoptera",
    "lyretail anthias male": "Pseudanthias squamipinnis",
    "flame hawk": "Neocirrhites armatus",
    "long nose hawkfish": "Oxycirrhites typus",
    "clown trigger": "Balistoides conspicillum",
    "three stripe damsel": "Dascyllus aruanus",
    "domino damsel": "Dascyllus trimaculatus",
    "moorish idle": "Zanclus cornutus",
    "spotted mandarin": "Synchiropus picturatus",
    "purple firefish": "Nemateleotris decora",
    "panther grouper": "Cromileptes altivelis",
    "volitans lion": "Pterois volitans",
}
ASK = {
    "clownfish": {"Amphiprion ocellaris", "Amphiprion percula"},
    "nemo": {"Amphiprion ocellaris", "Amphiprion percula"},
    "blue tang": {"Paracanthurus hepatus"},
    "sailfin tang": {"Zebrasoma desjardinii", "Zebrasoma velifer"},
    "mandarin": {"Synchiropus splendidus"},
    "foxface": {"Siganus vulpinus", "Siganus unimaculatus"},
    "lionfish": {"Pterois volitans"},
    "2 medium firefish": {"Nemateleotris magnifica"},
}
NOT_A_FISH = ("cleaner shrimp", "hammer coral", "turbo snails", "hermit crabs x10", "zoas")
UNKNOWN = ("qwertyuiop", "something pretty", "the one from the film")


def _silent(said: str, expected: str) -> bool:
    """Whether another animal was picked without asking."""
    meaning = understand(said)
    return meaning.verdict is Verdict.ONE and meaning.name != expected


def _is_right(said: str) -> bool:
    meaning = understand(said)
    if said in ONE:
        return meaning.verdict is Verdict.ONE and meaning.name == ONE[said]
    if said in ASK:
        offered = {c.scientific_name for c in meaning.candidates}
        return meaning.verdict is Verdict.ASK and offered >= ASK[said]
    return meaning.verdict is (Verdict.NOT_A_FISH if said in NOT_A_FISH else Verdict.UNKNOWN)


def test_at_least_19_in_20_messy_names_are_understood() -> None:
    messy = [*ONE, *ASK, *NOT_A_FISH, *UNKNOWN]
    assert len(messy) >= 80
    wrong = [said for said in messy if not _is_right(said)]
    assert len(wrong) <= len(messy) // 20, wrong


@pytest.mark.parametrize("said", ONE)
def test_no_other_animal_is_picked_without_asking(said: str) -> None:
    assert not _silent(said, ONE[said])


@pytest.mark.parametrize("said", [*ASK, *NOT_A_FISH, *UNKNOWN])
def test_what_is_not_one_animal_is_never_called_one(said: str) -> None:
    assert understand(said).verdict is not Verdict.ONE


@pytest.mark.parametrize(
    ("said", "count", "length_cm", "sex"),
    [
        ("3 x yellow tang 8 cm", 3, 8.0, None),
        ("yellow tang 3 inch", None, 7.62, None),
        ("pair of ocellaris", None, None, "pair"),
        ("lyretail anthias male", None, None, "male"),
        ("maroon clown female 85 mm", None, 8.5, "female"),
        ("six line wrasse", None, None, None),
        ("3 stripe damsel", None, None, None),
    ],
)
def test_count_length_and_sex_are_taken_off(
    said: str, count: int | None, length_cm: float | None, sex: str | None
) -> None:
    meaning = understand(said)
    assert meaning.verdict is Verdict.ONE
    assert (meaning.count, meaning.sex) == (count, sex)
    assert meaning.length_cm == (None if length_cm is None else pytest.approx(length_cm))


def test_asking_back_tells_the_candidates_apart() -> None:
    meaning: Meaning = understand("clownfish")
    marks = [c.mark for c in meaning.candidates]
    assert len(marks) > 1
    assert all(marks)


def test_every_scientific_name_is_itself() -> None:
    for name in load_facts().species_names:
        meaning = understand(name)
        assert (meaning.verdict, meaning.name) == (Verdict.ONE, name)


@pytest.mark.parametrize("said", ["zoanthidz", "cleaner shrmp", "hamer coral"])
def test_a_slip_in_the_name_of_no_fish_is_no_fish_either(said: str) -> None:
    assert understand(said).verdict is Verdict.NOT_A_FISH


def test_a_weaker_likeness_to_an_ambiguous_name_does_not_make_a_sure_one_ask() -> None:
    assert understand("orchid dotty back").verdict is Verdict.ONE
    assert understand("purple doty").verdict is Verdict.ASK


def test_unknown_words_come_with_the_nearest_names_at_most() -> None:
    meaning = understand("qwertyuiop")
    assert meaning.verdict is Verdict.UNKNOWN
    assert len(meaning.candidates) <= 5


def test_no_entry_is_empty() -> None:
    assert all(e.name and (e.scientific_name or e.kind == "not a fish") for e in entries())
