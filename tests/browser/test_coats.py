"""What only a browser can tell of animals in their coats: that they are drawn, and change when grown."""

from __future__ import annotations

from tests.browser.watching import OpenPage, until

YOUNG = "/tank?tank=300+cm&wanted=Acanthurus+olivaceus+6+cm&living=2+ocellaris+6+cm"


def test_the_young_change_their_coat_when_shown_grown(open_page: OpenPage) -> None:
    page = open_page(YOUNG)
    until(page, "document.documentElement.dataset.ready === 'tank'")
    today, grown = (page.locator(f'[data-view="front"] .as-{size}') for size in ("today", "grown"))
    assert today.is_visible()
    assert not grown.is_visible()
    page.check('[name="size"][value="grown"]')
    assert grown.is_visible()
    assert not today.is_visible()


def test_an_animal_is_filled_with_its_colour_inside_a_halo(open_page: OpenPage) -> None:
    page = open_page(YOUNG, theme="dark")
    until(page, "document.documentElement.dataset.ready === 'tank'")
    paper, halo, line = page.evaluate("""() => {
      const [skin, inked] = ['.skin', '.inked'].map((one) => getComputedStyle(document.querySelector(one)));
      return [getComputedStyle(document.documentElement).backgroundColor, skin.stroke, inked.fill];
    }""")
    assert halo == paper
    assert line == "none"
