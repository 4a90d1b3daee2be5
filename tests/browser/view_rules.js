// What a view of the page must not show: torn lengths, what is cut off, targets too small.
"use strict";

function torn() {
  const length = /(?:less |[+]\/- )?(?:\d+' )?\d+(?: \d+\/\d+|\/\d+)?"|\d+'|[\d.]+ (?:ft|mm|m)\b|[A-Z]\d?-[A-Z]\d?\b/g;
  const blocks = "p, li, td, th, h1, h2, h3, summary, label, button, output, text";
  const found = [];
  for (const block of document.querySelectorAll(blocks)) {
    if (!block.checkVisibility() || block.closest(".unseen, svg")) continue;
    const walk = document.createTreeWalker(block, NodeFilter.SHOW_TEXT), parts = [];
    let text = "";
    for (let node = walk.nextNode(); node; node = walk.nextNode()) {
      if (node.parentElement.closest(".unseen")) continue;
      parts.push({node, from: text.length});
      text += node.textContent;
    }
    for (const match of text.matchAll(length)) {
      const at = (place) => {
        const part = parts.findLast(({from}) => from <= place);
        return [part.node, place - part.from];
      };
      const range = document.createRange();
      range.setStart(...at(match.index));
      const [last, behind] = at(match.index + match[0].length - 1);
      range.setEnd(last, behind + 1);
      const rects = [...range.getClientRects()].filter(({width}) => width > 0);
      const middles = rects.map(({top, bottom}) => (top + bottom) / 2);
      if (Math.max(...middles) - Math.min(...middles) > 8) found.push(`${match[0]} in ${text.slice(0, 60)}`);
    }
  }
  return found;
}

function cut() {
  const found = [], wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > wide) found.push("the page is wider than the screen");
  for (const each of document.querySelectorAll("body *")) {
    if (!each.checkVisibility() || each.closest(".unseen, .skip, svg, noscript")) continue;
    // the heads of rows that stand as blocks are for who hears the page
    const head = each.closest("thead");
    if (head && getComputedStyle(head).position === "absolute") continue;
    const {left, right, width} = each.getBoundingClientRect();
    if (width && (left < -0.5 || right > wide + 0.5)) found.push(`${each.tagName} ${each.parentElement.textContent.slice(0, 60)}`);
    if (["BUTTON", "A", "SUMMARY", "OUTPUT"].includes(each.tagName) && each.scrollWidth > each.clientWidth + 1) {
      found.push(`${each.tagName} ${each.parentElement.textContent.slice(0, 60)}`);
    }
  }
  return found;
}

function small() {
  const found = [];
  for (const each of document.querySelectorAll("a, button, select, summary, input")) {
    if (!each.checkVisibility() || each.closest(".skip")) continue;
    const ticked = ["checkbox", "radio"].includes(each.type);
    const {width, height} = (ticked ? each.closest("label") : each).getBoundingClientRect();
    if (width < 43.9 || height < 43.9) found.push(`${each.tagName} ${each.textContent} ${width} x ${height}`);
  }
  return found;
}
