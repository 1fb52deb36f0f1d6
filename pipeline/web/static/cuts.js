// Where one machine ends and the next begins: cuts are word numbers; a button at every line, finer ones at every cut.
import { $, alarm, ask, clock, finished, make, say, tell } from "./common.js";

const number = $("walk").dataset.number, media = $("media");
let words = [], lines = [], cuts = [], before = [];

const copy = (list) => list.map((c) => ({ ...c }));
const same = () => JSON.stringify(cuts.map((c) => [c.word, c.back])) === JSON.stringify(before.map((c) => [c.word, c.back]));
const beginOf = (word) => words[word][1];
const text = (from, to) => words.slice(from, to).map((w) => w[0]).join(" ");

function hear(second) {
  if (!media) { say($("silent").textContent); return; }
  media.currentTime = Math.max(0, second - 2);
  media.play().catch(() => say("This browser cannot play the recording."));
}

// the number, from 1, of the machine in each part
function numbers() {
  const found = [1];
  for (const c of cuts) found.push(c.back == null ? Math.max(...found) + 1 : found[c.back]);
  return found;
}

function head(c, i, all) {
  const at = beginOf(c.word), n = all[i + 1], title = `Machine ${n} from ${clock(at)}`;
  const which = make("select", { id: `which-${i}` }, make("option", { value: "", text: "another machine" }));
  const seen = new Set();
  all.slice(0, i + 1).forEach((m, part) => {
    if (seen.has(m) || m === all[i]) return; // what goes on without a break needs no cut
    seen.add(m);
    which.append(make("option", { value: String(part), text: `machine ${m} again` }));
  });
  which.value = c.back == null ? "" : String(all.indexOf(all[c.back]));
  which.addEventListener("change", () => { c.back = which.value === "" ? null : Number(which.value); changed(`which-${i}`); });
  const press = (key, label, act) => make("button", { type: "button", class: "plain", id: `${key}-${i}`, "aria-label": `${label}: ${title}`, text: label, onclick: act });
  return make("li", { class: "cut" },
    make("h3", { text: title }),
    c.why ? make("p", { class: "quiet", text: c.why === "set by hand" ? c.why : `cut because of “${c.why}”` }) : "",
    make("p", { class: "field" }, make("label", { for: `which-${i}`, text: "Here begins" }), " ", which),
    make("div", { class: "buttons" },
      press("hear", "Hear it", () => hear(at)),
      press("up", "A line earlier", () => shift(i, lines.filter((l) => l < c.word).pop() ?? 0, "up")),
      press("down", "A line later", () => shift(i, lines.find((l) => l > c.word) ?? c.word, "down")),
      press("left", "A word earlier", () => shift(i, c.word - 1, "left")),
      press("right", "A word later", () => shift(i, c.word + 1, "right")),
      press("drop", "Take the cut away", () => drop(i))));
}

function shift(i, word, key) {
  const low = i ? cuts[i - 1].word : 0, high = i + 1 < cuts.length ? cuts[i + 1].word : words.length;
  if (word <= low || word >= high) { say("There is another cut, or no word."); return; }
  cuts[i].word = word;
  cuts[i].why = "set by hand";
  changed(`${key}-${i}`);
  say(`Machine ${numbers()[i + 1]} begins at ${clock(beginOf(word))} with: ${text(word, word + 6)}`);
}

function drop(i) {
  const to = numbers()[i + 1];
  cuts.splice(i, 1);
  // parts behind have other numbers now; what went on with the part that is gone goes on with the one before it
  for (const c of cuts.slice(i)) if (c.back != null && c.back > i) c.back -= 1;
  changed(i < cuts.length ? `hear-${i}` : "keep");
  say(`The cut before machine ${to} is taken away.`);
}

function add(word) {
  let i = cuts.findIndex((c) => c.word > word);
  if (i < 0) i = cuts.length;
  cuts.splice(i, 0, { word, back: null, why: "set by hand" });
  for (const c of cuts.slice(i + 1)) if (c.back != null && c.back > i) c.back += 1;
  changed(`hear-${i}`);
  say(`Another machine begins at ${clock(beginOf(word))}.`);
}

function changed(focus) {
  draw();
  $("keep").disabled = $("back").disabled = same();
  $("keep-line").hidden = same();
  const count = new Set(numbers()).size;
  $("told").textContent = same() ? "Nothing was moved." : `Not kept yet: ${count === 1 ? "one machine" : `${count} machines`}.`;
  ($(focus)?.closest("[hidden]") ? $("told") : $(focus))?.focus({ preventScroll: false });
}

function draw() {
  const all = numbers(), at = new Map(cuts.map((c, i) => [c.word, i]));
  const begins = [...new Set([0, ...lines, ...at.keys()])].sort((a, b) => a - b);
  const out = document.createDocumentFragment();
  begins.forEach((word, n) => {
    if (at.has(word)) out.append(head(cuts[at.get(word)], at.get(word), all));
    const said = text(word, begins[n + 1] ?? words.length);
    const line = make("li", { class: "line-of" }, make("span", {}, make("span", { class: "t", text: clock(beginOf(word)) }), said));
    if (word && !at.has(word)) line.append(make("button", { type: "button", class: "plain", "aria-label": `Another machine begins at ${clock(beginOf(word))}: ${said.slice(0, 60)}`, text: "Cut here", onclick: () => add(word) }));
    out.append(line);
  });
  $("lines").replaceChildren(out);
}

$("back").addEventListener("click", () => { cuts = copy(before); changed("why"); });
$("keep").addEventListener("click", async () => {
  $("keep").disabled = true;
  const plain = (list) => list.map((c) => ({ at: c.at != null && c.was === c.word ? c.at : beginOf(c.word), back: c.back }));
  try {
    const { job } = await ask(`/walks/${number}/cuts`, { cuts: plain(cuts), seen: plain(before), why: $("why").value });
    alarm("");
    const line = make("p"), bar = make("progress", { "aria-label": "Reading" }), box = make("div", { class: "card" }, line, bar);
    $("after").replaceChildren(box);
    $("told").textContent = "Kept. Reading the words anew.";
    const done = await finished(job, line, bar, box);
    if (done && done.state === "done") { before = copy(cuts); $("back").disabled = true; return; }
  } catch (error) { tell(error); }
  $("keep").disabled = false;
});

ask(`/walks/${number}/cuts/words`).then((value) => {
  words = value.words; lines = value.lines;
  before = value.cuts.map((c) => {
    const found = words.findIndex((w) => w[1] >= c.at - 0.005), word = found < 0 ? words.length - 1 : found;
    return { ...c, word, was: word };
  });
  cuts = copy(before);
  draw();
}).catch(tell);
