// Searches all trips from disk. Words and documents come as small scripts beside the page, when first asked for.
const MOST = 60; // results shown
const PORTION = 400; // documents in one file, as they were written
const LONGEST_ENDING = 4; // letters that a stem has lost at most: "lanterns" is kept as "lantern"
const place = document.querySelector("#search");
const field = place.querySelector("input");
const status = place.querySelector("output");
const list = place.querySelector("ol");
const total = Number(place.dataset.documents);
const held = new Map();

function load(name) {
  if (!held.has(name)) {
    let arrive;
    const content = new Promise((resolve) => { arrive = resolve; });
    held.set(name, { content, arrive });
    const script = document.createElement("script");
    script.src = `search/${name}.js`;
    script.onerror = () => arrive(null); // no word begins so
    document.head.append(script);
  }
  return held.get(name).content;
}
window.arrived = (name, content) => held.get(name)?.arrive(content);

const folded = (text) => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
// A short word beside others counts only as it is: "the" is no beginning of what one looks for.
const SHORT = 3; // letters
const fits = (stem, word, others) => (stem.startsWith(word) && (stem === word || !others || word.length > SHORT))
  || (stem.length > 2 && word.length - stem.length <= LONGEST_ENDING && (word.startsWith(stem)
    || (stem.endsWith("i") && word.startsWith(stem.slice(0, -1)))));

// How much each document says of one word: whole words count more than beginnings, rare ones more than common.
async function score(word, others) {
  const words = await load(`words-${word.codePointAt(0).toString(16)}`);
  const found = new Map();
  for (const [stem, numbers] of Object.entries(words ?? {})) {
    if (!fits(stem, word, others)) continue;
    const worth = Math.log(1 + (2 * total) / numbers.length) * (stem === word || word.startsWith(stem) ? 2 : 1);
    for (let at = 0; at < numbers.length; at += 2) {
      found.set(numbers[at], Math.max(found.get(numbers[at]) ?? 0, worth * numbers[at + 1]));
    }
  }
  return found;
}

let asked = 0;
async function search() {
  const mine = ++asked;
  const words = folded(field.value).match(/[\p{L}\p{N}]+/gu) ?? [];
  const scores = await Promise.all(words.map((word) => score(word, words.length > 1)));
  const sums = new Map();
  for (const found of scores) for (const [doc, worth] of found) {
    const [sum, count] = sums.get(doc) ?? [0, 0];
    sums.set(doc, [sum + worth, count + 1]);
  }
  const most = Math.max(0, ...[...sums.values()].map(([, count]) => count));
  const best = [...sums].filter(([, [, count]]) => count === most).sort((a, b) => b[1][0] - a[1][0] || a[0] - b[0]);
  const shown = await Promise.all(best.slice(0, MOST).map(async ([doc]) => {
    const portion = await load(`documents-${Math.floor(doc / PORTION)}`);
    return portion?.[doc % PORTION];
  }));
  if (mine !== asked) return; // the person has typed on
  list.replaceChildren(...shown.filter(Boolean).map(([title, where, href, picture]) => {
    const item = document.createElement("li");
    const link = document.createElement("a");
    link.href = href;
    link.dir = "auto";
    link.textContent = title;
    const about = document.createElement("span");
    about.className = "detail";
    about.dir = "auto";
    about.textContent = where;
    if (picture) { // it says nothing that the words beside it do not
      const image = document.createElement("img");
      image.src = picture;
      image.alt = "";
      image.loading = "lazy";
      item.append(image);
    }
    item.append(link, about);
    return item;
  }));
  const some = words.length && best.length && most < words.length ? `, with ${most} of ${words.length} words` : "";
  const told = best.length > MOST ? `${MOST} of ${best.length} shown` : `${best.length} found`;
  status.value = words.length === 0 ? "" : `${told}${some}`;
}

place.hidden = false;
const entry = document.createElement("li"); // of the contents; without this file there is nothing to lead to
const way = document.createElement("a");
way.href = "#search";
way.textContent = document.querySelector("#search-title").textContent;
entry.append(way);
document.querySelector(".contents ul").prepend(entry);
field.addEventListener("input", search);
if (field.value) search(); // what was typed before coming back to the page
