// Take what is not shown out of the page, ask the accessibility rules, and put it back.
//
// The rules look at what is shown, but walk through all there is: a place of the page that shows
// 240 elements of 12,000 takes them thirty times as long with the rest in it.
"use strict";

async function shownByRules(options) {
  const away = [];
  const takeOut = (within) => {
    for (const each of [...within.children]) {
      // A style works from anywhere; what hangs in a drawing or a list of choices stays with it.
      if (each.matches("script, style, svg, select") || each.querySelector("style")) continue;
      if (each.checkVisibility()) {
        takeOut(each);
        continue;
      }
      const mark = document.createComment("");
      each.replaceWith(mark);
      away.push([mark, each]);
    }
  };
  takeOut(document.body);
  try {
    return await axe.run(document, options);
  } finally {
    for (const [mark, each] of away) mark.replaceWith(each);
  }
}

// Names that two parts have, and what refers to a part that there is not, shown or not.
function tornReferences() {
  const found = [], names = new Set();
  for (const { id } of document.querySelectorAll("[id]")) {
    if (names.has(id)) found.push(`two parts are called ${id}`);
    names.add(id);
  }
  for (const key of ["aria-labelledby", "aria-describedby", "aria-controls", "for"]) {
    for (const each of document.querySelectorAll(`[${key}]`)) {
      for (const name of each.getAttribute(key).split(/\s+/u)) {
        if (!names.has(name)) found.push(`${key} refers to ${name}, which is nowhere`);
      }
    }
  }
  return found;
}
