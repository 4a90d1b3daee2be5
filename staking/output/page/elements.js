// Elements made in the script: their texts never tear a length or a wall's name over two lines.

const Unbroken = {pattern: null};

// a text as nodes, what is never torn in elements of their own
function words(text) {
  const found = document.createDocumentFragment();
  let from = 0;
  for (const match of Unbroken.pattern ? text.matchAll(Unbroken.pattern) : []) {
    const whole = document.createElement("x-n");
    whole.textContent = match[0];
    found.append(parted(text.slice(from, match.index)), whole);
    from = match.index + match[0].length;
  }
  found.append(parted(text.slice(from)));
  return found;
}

// a long name goes to the next line behind an underscore, where no phone has room for it
function parted(text) {
  const found = document.createDocumentFragment();
  for (const [at, part] of text.split(/(?<=\w{4}_)(?=\w{4})/).entries()) {
    if (at) found.append(document.createElement("wbr"));
    found.append(part);
  }
  return found;
}

// an element with a class or none; strings among its children are words
function element(name, look, ...children) {
  const made = document.createElement(name);
  if (look) made.className = look;
  made.append(...children.map((each) => (typeof each === "string" ? words(each) : each)));
  return made;
}

function button(text, act, look = "") {
  const made = element("button", look, text);
  made.type = "button";
  made.addEventListener("click", act);
  return made;
}

// a table of texts; a cell may be an element
function tableOf(heads, rows, title) {
  const table = element("table", heads.length > 4 ? "cards" : "");
  const head = element("tr", "", ...heads.map((text, place) => {
    const cell = element("th", place ? "r" : "", text || element("span", "unseen", "what"));
    cell.scope = "col";
    // a name that no phone has room for is parted anywhere
    cell.classList.toggle("long", /\S{18,}/.test(text));
    return cell;
  }));
  const cellOf = (each, place) => {
    const cell = each instanceof HTMLTableCellElement ? each
      : element("td", place ? "r" : "", element("span", "", each));
    cell.dataset.label = heads[place];
    return cell;
  };
  const body = element("tbody", "", ...rows.map((row) => element("tr", "", ...row.map(cellOf))));
  if (title) table.append(element("caption", "unseen", title));
  table.append(element("thead", "", head), body);
  return table;
}
