// Lengths as builders write them, read and written as the program itself does. Metres inside.

const INCH = 0.0254, FOOT = 0.3048, SURVEY_FOOT = 1200 / 3937;
const UNITS = {"ft": FOOT, "us-ft": SURVEY_FOOT, "in": INCH, "m": 1, "mm": 0.001};
const EXAMPLE = "write a length such as 36' 6 1/2\", 36.5 ft or 11.2 m";

class MeasureFault extends Error {}

const NUMBER = "(?:[0-9]+\\.?[0-9]*|\\.[0-9]+)";
const FRACTION = "[0-9]+/[0-9]+";
const QUANTITY = `(?:${FRACTION}|${NUMBER}(?:(?: |-| - )${FRACTION})?)`;
const INCH_MARK = "(?:\"|(?:inches|inch|in)\\.?)";
const whole = (pattern) => new RegExp(`^(?:${pattern})$`);
const FEET_INCHES = whole(`(?<feet>${QUANTITY}) ?(?:'|(?:feet|foot|ft)\\.?)` +
  `(?:[ -]{0,3}(?<inches>${QUANTITY}) ?${INCH_MARK}?)?`);
const INCHES = whole(`(?<inches>${QUANTITY}) ?${INCH_MARK}`);
const DASHED = whole(`(?<feet>[0-9]+)-(?<inches>${NUMBER}(?:[ -]${FRACTION})?)(?: ?${INCH_MARK})?`);
const GROUPED = "[0-9]{1,3}(?: [0-9]{3})+(?:\\.[0-9]+)?";
const METRIC = whole(`(?<number>${GROUPED}|${NUMBER}) ?(?:(?<mm>mm|millimet(?:er|re)s?)|` +
  "(?<cm>cm|centimet(?:er|re)s?)|(?<m>m|met(?:er|re)s?))");
const SURVEY = whole(`(?<number>${NUMBER}) ?` +
  "(?:us[- ]?(?:survey[- ])?(?:ft|foot|feet)|ftus|survey (?:ft|foot|feet))");
const BARE = whole(NUMBER), GROUPED_ONLY = whole(GROUPED);
const BARE_FRACTION = whole(`(?:${NUMBER}[ -])?${FRACTION}`);

function plainText(text) {
  const marks = (said) => said
    .replace(/[\u2032\u2019\u2018\u00b4\u0060\u02b9]/g, "'")
    .replace(/[\u2033\u201d\u201c\u02ba]/g, "\"")
    .replace(/[\u2212\u2010-\u2014]/g, "-")
    .replace(/[\u2044\u2215]/g, "/");
  // 6½ is 6 1/2: the blank keeps the whole number and the fraction apart
  const spaced = marks(text).replace(/[\u00bc-\u00be\u2150-\u215e\u2189]/g,
    (sign) => " " + sign.normalize("NFKC"));
  return marks(spaced.normalize("NFKC")).replace(/''/g, "\"").toLowerCase()
    .split(/\s+/).filter(Boolean).join(" ");
}

function quantity(text, said) {
  const parts = text.replace(/-/g, " ").split(" ").filter(Boolean);
  const last = parts[parts.length - 1];
  if (!last.includes("/")) return Number(parts[0]);
  const [over, under] = last.split("/").map(Number);
  if (under === 0) throw new MeasureFault(`${said} has a fraction over zero; write one such as 5 3/8"`);
  if (parts.length === 1) return over / under;
  if (parts[0].includes(".")) {
    throw new MeasureFault(`${said} has a decimal point and a fraction; write one or the other`);
  }
  if (over >= under) throw new MeasureFault(`${said} has the fraction ${last}, which is 1 or more`);
  return Number(parts[0]) + over / under;
}

function feetInches(match, said) {
  const feet = quantity(match.groups.feet, said);
  if (match.groups.inches === undefined) return feet;
  const inches = quantity(match.groups.inches, said);
  if (feet % 1 > 0 || /[/.]/.test(match.groups.feet)) {
    throw new MeasureFault(`${said} has a fraction of a foot and inches as well; write 24' 6 1/2"`);
  }
  if (inches >= 12) throw new MeasureFault(`${said} has ${match.groups.inches} inches; carry them`);
  return feet + inches / 12;
}

function unsignedLength(body, said, unit) {
  const foot = unit === "us-ft" ? SURVEY_FOOT : FOOT;
  let match;
  // 20 ft2 is an area and not 20 feet 2
  if (/[a-z]\^?2$/.test(body)) return null;
  if ((match = FEET_INCHES.exec(body) || DASHED.exec(body))) return feetInches(match, said) * foot;
  if ((match = INCHES.exec(body))) {
    return quantity(match.groups.inches, said) * (unit === "us-ft" ? foot / 12 : INCH);
  }
  if ((match = METRIC.exec(body))) {
    const number = Number(match.groups.number.replace(/ /g, ""));
    return match.groups.mm ? number * 0.001 : match.groups.cm ? number * 0.01 : number;
  }
  if ((match = SURVEY.exec(body))) return Number(match.groups.number) * SURVEY_FOOT;
  if (BARE.test(body)) return Number(body) * UNITS[unit];
  if (unit === "in" && BARE_FRACTION.test(body)) return quantity(body, said) * INCH;
  if (unit === "mm" && GROUPED_ONLY.test(body)) return Number(body.replace(/ /g, "")) * 0.001;
  return null;
}

// Read a length; a bare number is in `unit`. Throws a MeasureFault that says what is wrong.
function parseLength(text, unit) {
  let body = plainText(text), sign = 1;
  const said = text.trim().slice(0, 60);
  if (!body) throw new MeasureFault(`no length is given; ${EXAMPLE}`);
  if (/^[+-]/.test(body)) {
    sign = body[0] === "-" ? -1 : 1;
    body = body.slice(1).trimStart();
  }
  const found = unsignedLength(body, said, unit);
  if (found === null) {
    if (/[0-9],[0-9]/.test(body)) {
      throw new MeasureFault(`${said} has a comma, which can be read two ways; write a point`);
    }
    throw new MeasureFault(`${said} is not a length; ${EXAMPLE}`);
  }
  if (!(found < 1e8)) throw new MeasureFault(`${said} is too long for a building site`);
  return sign * found;
}

// `5 2 3/8` as one says it, five feet two and three eighths, in a job in feet or inches; `5 2` in one
// in feet. Any other text is left as it is.
const SPOKEN = /^([0-9]+) ([0-9]{1,2})(?: ([0-9]+\/[0-9]+))?$/;
function typedText(text, unit) {
  const match = SPOKEN.exec(plainText(text));
  if (!match || UNITS[unit] < INCH || unit === "m" || (unit === "in" && !match[3])) return text;
  return `${match[1]}' ${match[2]}${match[3] ? ` ${match[3]}` : ""}"`;
}

// Read a length as it is typed on this page.
const typedLength = (text, unit) => parseLength(typedText(text, unit), unit);

function commonDivisor(a, b) {
  return b === 0 ? a : commonDivisor(b, a % b);
}

// How many steps come nearest to a length: halves away from nothing, and what metres took from a
// half given back, by the same rule as in the program (whole_steps there).
const TIE = 1e-7, TIE_PART = 1e-3;
function wholeSteps(metres, step) {
  const count = Math.floor(Math.abs(metres) / step + 0.5 + Math.min(TIE / step, TIE_PART));
  return metres < 0 ? -count : count;
}

function formatFeetInches(metres, nearest) {
  let parts = nearest > 0 ? Math.round(INCH / nearest) : 0, steps;
  if (parts >= 1 && Math.abs(parts * nearest - INCH) < 1e-9) {
    steps = wholeSteps(Math.abs(metres), INCH / parts);
  } else {
    const size = Math.max(1, Math.round(nearest / INCH));
    parts = 1;
    steps = wholeSteps(Math.abs(metres), size * INCH) * size;
  }
  const over = steps % parts, all = Math.floor(steps / parts);
  const inches = all % 12, feet = Math.floor(all / 12);
  const sign = metres < 0 && steps ? "-" : "";
  const common = over ? commonDivisor(over, parts) : 1;
  const fraction = over ? `${over / common}/${parts / common}` : "";
  if (fraction && !feet && !inches) return `${sign}${fraction}"`;
  const tail = fraction ? `${inches} ${fraction}"` : `${inches}"`;
  return feet ? `${sign}${feet}' ${tail}` : `${sign}${tail}`;
}

const DECIMAL = {
  "decimal-feet": [FOOT, 2, "ft"], "metres": [1, 3, "m"], "millimetres": [0.001, 0, "mm"],
};

// Write a length as the job shows it, halves away from nothing.
function formatLength(metres, show, nearest) {
  if (show === "feet-inches") return formatFeetInches(metres, nearest);
  const [divisor, places, name] = DECIMAL[show];
  const count = wholeSteps(Math.abs(metres), divisor / 10 ** places);
  const sign = metres < 0 && count ? "-" : "";
  return `${sign}${(count / 10 ** places).toFixed(places)} ${name}`;
}
