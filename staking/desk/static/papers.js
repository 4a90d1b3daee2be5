// What one takes away: papers and files, made as the command line makes them, and shown.

import { blobOf, get, post } from "./asking.js";
import { make } from "./fields.js";

const at = (id) => document.getElementById(id);

const SETS = [
  ["Make the sheets", ["pdf"], "the papers for the site, a picture of each below"],
  ["Make the page for the phone", ["html"], "one file that works without a net"],
  ["Make the drawing", ["dxf", "svg"], "for whoever draws on"],
  ["Make the points", ["csv", "xml"], "for whoever stakes out with an instrument"],
  ["Make everything", null, "all of these"],
];

export function papers(desk) {
  const said = make("p", { role: "status", id: "made-state", text: desk.madeSaid ?? "" });
  const ways = SETS.map(([text, kinds, what], number) => make("li", {}, make("button", { type: "button", className: number ? "" : "main", text, onclick: () => makeFiles(desk, kinds) }), make("span", { className: "hint", text: ` ${what}` })));
  const links = desk.made.map((name) => make("li", {}, make("button", { type: "button", className: "link", text: name, onclick: () => openMade(name) })));
  const sheets = make("div", { id: "sheets" });
  show(desk, sheets);
  return [
    make("h2", { text: "Papers and files" }),
    make("p", { className: "hint", text: `Made from the job as it is saved, as the command staking layout makes them. They stand in the folder ${desk.folder}, beside the job file.` }),
    make("ul", { className: "ways" }, ...ways),
    said,
    links.length ? make("h3", { text: "There now" }) : null,
    links.length ? make("ul", { id: "made" }, ...links) : null,
    sheets,
  ].filter(Boolean);
}

async function makeFiles(desk, kinds) {
  at("save-and-make")?.remove();
  const say = (text) => {
    desk.madeSaid = text;
    if (at("made-state")) at("made-state").textContent = text;
  };
  if (desk.isUnsaved()) {
    say("Save first: files are made from what is on file.");
    const both = make("button", { type: "button", className: "main", text: "Save, and make them", onclick: async () => {
      if (await desk.save()) makeFiles(desk, kinds);
    } });
    at("made-state").after(make("p", { className: "buttons", id: "save-and-make" }, both));
    return both.focus();
  }
  say("The files are being made.");
  try {
    const told = await post("/make", { kinds });
    desk.made = told.made;
    say([`Made in ${told.folder}: ${told.names.join(", ")}.`, ...told.told].join(" "));
    if (desk.topic === "away") desk.rebuild();
  } catch (error) {
    say(error.message);
  }
}

async function openMade(name) {
  try {
    if (name.endsWith(".html")) {
      const { address } = await post("/ticket", { name });
      window.open(address, "_blank", "noopener");
      return;
    }
    const address = URL.createObjectURL(await blobOf(name));
    const shows = /\.(pdf|svg|png|json)$/.test(name);
    const link = make("a", { href: address, target: shows ? "_blank" : "", download: shows ? undefined : name });
    link.click();
    setTimeout(() => URL.revokeObjectURL(address), 60000);
  } catch (error) {
    at("made-state").textContent = error.message;
  }
}

// A picture of each sheet; each is fetched when it comes into sight.
async function show(desk, pane) {
  let told;
  try {
    told = await get("/sheets");
  } catch (error) {
    pane.replaceChildren(make("p", { className: "fault", text: error.message }));
    return;
  }
  if (!told.titles.length) return;
  const old = told.old || desk.isUnsaved() ? make("p", { className: "fault", text: "These were made before the latest answers: save, and make them anew." }) : null;
  const figures = told.titles.map((title, number) => {
    const picture = make("img", { alt: `Sheet ${number + 1} of ${told.titles.length}: ${title}`, width: 1100, height: 1424 });
    const larger = make("button", { type: "button", className: "sheet", "aria-pressed": "false" }, picture);
    larger.addEventListener("click", () => {
      larger.setAttribute("aria-pressed", String(larger.getAttribute("aria-pressed") !== "true"));
      larger.scrollIntoView({ block: "nearest" });
    });
    return make("figure", { className: "sheet-of-set" }, larger, make("figcaption", { text: `${number + 1}. ${title}` }));
  });
  pane.replaceChildren(make("h3", { text: "The sheets" }), ...[old, make("p", { className: "hint", text: "A tap makes a sheet larger." })].filter(Boolean), make("div", { className: "set" }, ...figures), make("p", { className: "buttons" }, make("button", { type: "button", text: "Open them to print", onclick: () => openMade("sheet.pdf") })));
  const seen = new IntersectionObserver((entries) => {
    for (const each of entries) {
      if (!each.isIntersecting) continue;
      seen.unobserve(each.target);
      load(each.target, figures.indexOf(each.target) + 1);
    }
  }, { rootMargin: "200px" });
  figures.forEach((each) => seen.observe(each));
}

async function load(figure, number) {
  const picture = figure.querySelector("img");
  try {
    const address = URL.createObjectURL(await blobOf(String(number), "sheet"));
    picture.addEventListener("load", () => {
      picture.width = picture.naturalWidth;
      picture.height = picture.naturalHeight;
      URL.revokeObjectURL(address);
    });
    picture.src = address;
  } catch (error) {
    figure.append(make("p", { className: "fault", text: error.message }));
  }
}
