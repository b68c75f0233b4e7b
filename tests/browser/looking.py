"""What can be told of a screen by looking at it: room, targets, contrast, names."""

from pathlib import Path
from typing import Any

from playwright.sync_api import Page

from tests.browser.handset import ask

ROOT = Path(__file__).resolve().parents[2]
AXE = ROOT / "frontend" / "node_modules" / "axe-core" / "axe.min.js"
LEAST_TARGET_PX = 44

# Two frames after the fonts are there, what was asked to be drawn is drawn, and what moves or
# changes its colour for a moment has come to its end. What never ends is not waited for.
SETTLED = """async () => {
  await document.fonts.ready;
  for (let frame = 0; frame < 2; frame += 1) await new Promise(requestAnimationFrame);
  const passing = document
    .getAnimations()
    .filter((each) => Number.isFinite(each.effect?.getComputedTiming().endTime));
  await Promise.allSettled(passing.map((each) => each.finished));
}"""

# Asks axe for the rules of WCAG 2.2 A and AA and its own best practices.
VIOLATIONS = """async () => {
  const { violations } = await axe.run(document, { resultTypes: ['violations'] });
  return violations.flatMap(({ id, nodes }) =>
    nodes.map(({ target, failureSummary }) => `${id}: ${target} ${failureSummary}`),
  );
}"""

# Elements that stick out of the screen, unless something around them scrolls or cuts them off.
STICKING_OUT = """(width) => {
  const isCut = (element) => {
    for (let each = element.parentElement; each; each = each.parentElement) {
      if (getComputedStyle(each).overflowX !== 'visible' && each !== document.documentElement)
        return true;
    }
    return false;
  };
  const scrolls = document.documentElement.scrollWidth > width;
  const sheets = [...document.querySelectorAll('dialog[open], dialog[open] *')].filter(
    (element) =>
      element.scrollWidth > element.clientWidth + 1 &&
      ['auto', 'scroll'].includes(getComputedStyle(element).overflowX),
  );
  const out = [...document.body.querySelectorAll('*')].filter((element) => {
    const box = element.getBoundingClientRect();
    return box.width > 1 && (box.right > width + 1 || box.left < -1) && !isCut(element);
  });
  return [...(scrolls ? out : []), ...sheets]
    .slice(0, 5)
    .map((element) => `${element.tagName} "${element.textContent.trim().slice(0, 40)}"`)
    .concat(scrolls && out.length === 0 ? ['the page scrolls sideways'] : []);
}"""

# Controls that answer on less than the least size, wherever their box ends: what counts is where a
# thumb reaches them. Links inside a sentence may be as low as its line.
SMALL = """(least) => {
  const front = document.querySelector('dialog[open]') ?? document;
  const controls = front.querySelectorAll(
    'a[href], button, input, select, textarea, summary, [role=checkbox]',
  );
  const isInSentence = (element) =>
    element.tagName === 'A' &&
    getComputedStyle(element).display === 'inline' &&
    element.parentElement.textContent.trim() !== element.textContent.trim();
  const reach = (element, step) => {
    const box = element.getBoundingClientRect();
    let [x, y] = [box.left + box.width / 2, box.top + box.height / 2];
    let reached = -1;
    while (element.contains(document.elementFromPoint(x, y)) && reached < 2 * least) {
      [x, y, reached] = [x + step[0], y + step[1], reached + 1];
    }
    return reached;
  };
  return [...controls].flatMap((element) => {
    const { width, height } = element.getBoundingClientRect();
    const isSpoken = width <= 1 || height <= 1;
    const isLarge = width >= least - 0.5 && height >= least - 0.5;
    if (isSpoken || isLarge || isInSentence(element)) return [];
    element.scrollIntoView({ block: 'center' });
    const wide = reach(element, [1, 0]) + reach(element, [-1, 0]) + 1;
    const high = reach(element, [0, 1]) + reach(element, [0, -1]) + 1;
    if (wide >= least - 1 && high >= least - 1) return [];
    const words = element.getAttribute('aria-label') ?? element.labels?.[0]?.textContent;
    return [`${element.tagName} "${(words ?? element.textContent).trim()}" ${wide}x${high}`];
  });
}"""


def settle(page: Page) -> None:
    ask(page, SETTLED)


def violations(page: Page) -> list[str]:
    """What axe-core finds wrong for people who see, hear or touch differently."""
    settle(page)
    page.evaluate(AXE.read_text("utf-8"))
    found: list[str] = ask(page, VIOLATIONS)
    return found


def sticking_out(page: Page, width: int) -> list[str]:
    settle(page)
    found: list[str] = page.evaluate(STICKING_OUT, width)
    return found


def text_px(page: Page) -> float:
    """How large text is where no style says otherwise."""
    size: str = page.evaluate("() => getComputedStyle(document.documentElement).fontSize")
    return float(size.removesuffix("px"))


def small_targets(page: Page, least_px: int = LEAST_TARGET_PX) -> list[str]:
    settle(page)
    found: list[str] = page.evaluate(SMALL, least_px)
    return found


# The element that has the focus, as a screen reader would begin to say it.
FOCUSED = """() => {
  const element = document.activeElement;
  const words = element.getAttribute('aria-label') ?? element.labels?.[0]?.innerText;
  return { tag: element.tagName, words: (words ?? element.innerText).replace(/\\s+/g, ' ').trim() };
}"""


def tab_order(page: Page, most: int = 80) -> list[Any]:
    """The words of everything that the tab key reaches, until it leaves the page."""
    found: list[Any] = []
    for _ in range(most):
        page.keyboard.press("Tab")
        focused = page.evaluate(FOCUSED)
        if focused["tag"] == "BODY":
            break
        found.append(focused["words"])
    return found
