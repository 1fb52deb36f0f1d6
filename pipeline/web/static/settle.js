// Listening and settling: choose a fact, hear its seconds, decide. A key for everything; what the server answers is shown.
import { $, alarm, ask, clock, make, Refused, say, tell } from "./common.js";

const walk = $("walk"), number = walk.dataset.number, media = $("media"), rows = $("rows");
let version = Number(walk.dataset.version), chosen = null, finding = null, until = null;

// ---------------------------------------------------------------------------------------------------------- sound

function hear(at, end) {
  if (!media) { say($("silent").textContent); return; }
  if (at === "" || at == null) { say("This was written by hand: there is nothing to hear."); return; }
  const from = Math.max(0, Number(at) - 0.35);
  until = Math.max(Number(end) + 0.35, from + 2);
  media.currentTime = from;
  media.play().catch(() => say("This browser cannot play the recording. Open the file in another program."));
}
if (media) {
  media.addEventListener("timeupdate", () => {
    if (until != null && media.currentTime >= until) { media.pause(); until = null; }
    follow(media.currentTime);
  });
  media.addEventListener("seeked", () => follow(media.currentTime));
  media.addEventListener("error", () => say("This browser cannot play the recording. Open the file in another program."));
}

const paragraphs = [...document.querySelectorAll("#words p[data-at]")];
const times = paragraphs.map((p) => Number(p.dataset.at));
let nowAt = -1;
function paragraphAt(second) {
  let low = 0, high = times.length;
  while (low < high) { const mid = (low + high) >> 1; if (times[mid] <= second + 0.01) low = mid + 1; else high = mid; }
  return low - 1;
}
function follow(second) {
  const at = paragraphAt(second);
  if (at === nowAt) return;
  paragraphs[nowAt]?.classList.remove("now");
  paragraphs[at]?.classList.add("now");
  nowAt = at;
  draw();
}
function showWords(second) {
  for (const p of document.querySelectorAll("#words p.of")) p.classList.remove("of");
  const p = second === "" ? null : paragraphs[paragraphAt(Number(second))];
  if (!p) return;
  p.classList.add("of");
  const box = $("words");
  box.scrollTop = p.offsetTop - box.offsetTop - box.clientHeight / 3;
}
$("words").addEventListener("click", (event) => {
  const p = event.target.closest("p[data-at]");
  if (p && media && !String(getSelection())) { until = null; media.currentTime = Number(p.dataset.at); media.play().catch(() => {}); }
});

const wave = $("wave");
let columns = null;
async function outline(tries = 0) {
  if (!wave || tries > 60) return;
  try {
    const answer = await ask(`/walks/${number}/outline`);
    if (answer.ready) { columns = answer.columns; draw(); } else if (!answer.failed) setTimeout(() => outline(tries + 1), 1000);
  } catch { /* no outline: the player works without */ }
}
function draw() {
  if (!wave || !columns) return;
  const pen = wave.getContext("2d"), style = getComputedStyle(document.documentElement);
  const long = Number(walk.dataset.duration) || 1, w = wave.width, h = wave.height;
  pen.clearRect(0, 0, w, h);
  if (chosen && chosen.dataset.at !== "") {
    pen.fillStyle = style.getPropertyValue("--ring");
    const x = w * Number(chosen.dataset.at) / long;
    pen.fillRect(x - 1, 0, Math.max(5, w * (Number(chosen.dataset.end) - Number(chosen.dataset.at)) / long), h);
  }
  pen.fillStyle = style.getPropertyValue("--deep");
  columns.forEach((c, i) => { const tall = Math.max(1, c / 100 * h); pen.fillRect(i * w / columns.length, (h - tall) / 2, Math.max(1, w / columns.length - 0.5), tall); });
  if (media) { pen.fillStyle = style.getPropertyValue("--ink"); pen.fillRect(w * media.currentTime / long, 0, 2, h); }
}
if (wave) {
  wave.addEventListener("click", (event) => { until = null; media.currentTime = event.offsetX / wave.clientWidth * Number(walk.dataset.duration); });
  outline();
}

// ------------------------------------------------------------------------------------------------------- choosing

const WORDS = { subject: "Subject", property: "Property", value: "Value", value_max: "to (a range)", unit: "Unit", of: "Of what", approximate: "Approximate", name: "Name", count: "Count", disposition: "In the sale", condition: "Condition", reason: "Reason", number: "Number", role: "Role", station_word: "Called", stated_count: "Count stated", field: "Field" };
const FIRST = new Set(["value", "unit", "count", "disposition", "number", "role", "stated_count"]);
const NUMBERS = new Set(["value_max", "count", "stated_count"]);

function fieldFor(kind, name, value, prefix) {
  const id = `${prefix}-${name}`;
  let input;
  if (name === "property") input = make("select", { id }, $("properties").content.cloneNode(true));
  else if (name === "field") input = make("select", { id }, $("identity-fields").content.cloneNode(true));
  else if (name === "disposition") {
    input = make("select", { id });
    for (const [v, text] of [["", "not said"], ["included", "included"], ["excluded", "not included"], ["uncertain", "uncertain"]]) input.append(make("option", { value: v, text }));
  } else if (name === "approximate") input = make("input", { id, type: "checkbox" });
  else if (NUMBERS.has(name) || (name === "value" && kind === "quantity")) input = make("input", { id, inputmode: "decimal" });
  else input = make("input", { id, maxlength: 2000, list: name === "unit" ? "units" : false });
  input.name = name;
  if (input.type === "checkbox") input.checked = Boolean(value);
  else input.value = value == null ? "" : String(value);
  input.dataset.was = input.type === "checkbox" ? String(input.checked) : input.value;
  return make("p", { class: "field" }, make("label", { for: id, text: WORDS[name] || name }), " ", input);
}

function read(kind, input) {
  const { name } = input;
  if (input.type === "checkbox") return input.checked;
  const text = input.value.trim();
  if (NUMBERS.has(name) || (name === "value" && kind === "quantity")) {
    if (text === "") return name === "value" ? NaN : null;
    return Number(text.replace(/[\s\u202f]|,(?=\d{3}(\D|$))/g, "").replace(",", "."));
  }
  if (name === "number" && /^\d{1,9}$/.test(text)) return Number(text);
  if (text === "" && ["disposition", "condition", "reason", "of"].includes(name)) return null;
  return text;
}

function changesIn(place, kind, all) {
  const out = {};
  for (const input of place.querySelectorAll("input, select")) {
    const now = input.type === "checkbox" ? String(input.checked) : input.value;
    if (now === input.dataset.was && !all) continue;
    const value = read(kind, input);
    if (all && (value === null || value === "" || value === false)) continue;
    if (Number.isNaN(value)) throw new Error(`${WORDS[input.name]}: a number is needed`);
    out[input.name] = value;
  }
  return out;
}

function choose(row, { focus = true, sound = false } = {}) {
  chosen?.classList.remove("here");
  chosen?.querySelector(".pick")?.removeAttribute("aria-current");
  chosen = row;
  $("bench").hidden = !row;
  $("chosen-none").hidden = Boolean(row);
  if (!row) { draw(); return; }
  row.classList.add("here");
  const pick = row.querySelector(".pick");
  pick.setAttribute("aria-current", "true");
  fill(row);
  // on a narrow screen the bench is above the list: what was chosen is decided there
  if (matchMedia("(max-width: 60rem)").matches) $("bench").closest(".bench").scrollIntoView({ block: "start" });
  else row.scrollIntoView({ block: "nearest" });
  if (focus) pick.focus({ preventScroll: true });
  showWords(row.dataset.at);
  draw();
  if (sound) hear(row.dataset.at, row.dataset.end);
}

function fill(row) {
  $("chosen-name").textContent = row.querySelector(".n").textContent;
  $("chosen-value").textContent = row.querySelector(".v").textContent;
  $("chosen-doubt").textContent = row.querySelector(".mark.doubt")?.textContent || "";
  $("chosen-words").textContent = row.querySelector(".w").textContent;
  $("why").value = "";
  const fields = JSON.parse(row.dataset.fields);
  const open = $("fields").querySelector("details")?.open;
  const first = make("div", { class: "fields" }), rest = make("div", { class: "fields" });
  for (const [name, value] of Object.entries(fields)) (FIRST.has(name) ? first : rest).append(fieldFor(row.dataset.kind, name, value, "f"));
  $("fields").replaceChildren(first);
  if (rest.children.length) $("fields").append(make("details", { open }, make("summary", { text: "Subject and more" }), rest));
  edited();
}

// the button to press next stands out: Confirm until something was written, then the change
function edited() {
  const changed = [...$("fields").querySelectorAll("input, select")].some((i) => (i.type === "checkbox" ? String(i.checked) : i.value) !== i.dataset.was);
  $("change").classList.toggle("plain", !changed);
  $("confirm").classList.toggle("plain", changed);
}
$("fields").addEventListener("input", edited);

rows.addEventListener("click", (event) => {
  const row = event.target.closest(".row");
  if (row) choose(row, { sound: true });
});

function step(forward) {
  const doubtful = [...rows.querySelectorAll(".row.doubtful:not(.hide)")];
  if (!doubtful.length) { say("No doubtful fact is left."); return; }
  let next;
  if (!chosen) next = doubtful[forward ? 0 : doubtful.length - 1];
  else {
    const side = forward ? Node.DOCUMENT_POSITION_FOLLOWING : Node.DOCUMENT_POSITION_PRECEDING;
    const after = doubtful.filter((row) => row !== chosen && chosen.compareDocumentPosition(row) & side);
    next = forward ? after[0] || doubtful[0] : after[after.length - 1] || doubtful[doubtful.length - 1];
  }
  choose(next, { sound: true });
}

// ------------------------------------------------------------------------------------------------------- deciding

let deciding = 0;
async function decide(value, done) {
  deciding++;
  try {
    show(await ask(`/walks/${number}/decide`, value));
    alarm("");
    say(done);
    return true;
  } catch (error) {
    if (error instanceof Refused && error.status === 409) { await refresh(); }
    tell(error);
    return false;
  } finally { deciding--; }
}

function about(row, act, more = {}) {
  return { act, ref: row.dataset.ref, seen: row.dataset.seen, why: $("why").value, ...more };
}

async function confirmChosen() { if (chosen) await decide(about(chosen, "confirm"), "Confirmed"); }
async function withdrawChosen() { if (chosen) await decide(about(chosen, "withdraw"), "Withdrawn"); }
async function changeChosen() {
  if (!chosen) return;
  let set;
  try { set = changesIn($("fields"), chosen.dataset.kind, false); } catch (error) { alarm(error.message); return; }
  if (!Object.keys(set).length) { say("Nothing was changed."); return; }
  if (await decide(about(chosen, "change", { set }), "Changed")) chosen?.querySelector(".pick").focus({ preventScroll: true });
}
async function undo() {
  try { const answer = await ask(`/walks/${number}/undo`, {}); show(answer); alarm(""); say(`Taken back: ${answer.undone}`); } catch (error) { tell(error); }
}

function show(state) {
  version = state.version;
  for (const ref of state.gone || []) {
    const row = rowOf(ref);
    if (row === chosen) choose(null);
    row?.remove();
  }
  for (const { ref, after, html } of state.changed || []) {
    const there = rowOf(ref);
    if (there && html.includes(`data-seen="${there.dataset.seen}"`)) continue;
    // the server escaped every word in it
    const box = document.createElement("template");
    box.innerHTML = html.trim();
    const fresh = box.content.firstElementChild, old = rowOf(ref), was = old !== null && old === chosen;
    const focused = was && old.contains(document.activeElement);
    if (old) old.replaceWith(fresh);
    else if (after && rowOf(after)) rowOf(after).after(fresh);
    else rows.prepend(fresh);
    if (was) choose(fresh, { focus: focused });
  }
  const n = state.figures;
  $("left").textContent = n.doubtful;
  $("facts-n").textContent = n.facts;
  $("find-n").textContent = n.findings;
  $("bar").max = n.facts || 1;
  $("bar").value = n.facts - n.doubtful;
  $("decided-n").textContent = n.decided;
  $("decided").replaceChildren(...state.decided.map((d) => make("li", {}, `${d.text} `, make("span", { class: "quiet", text: `${d.who}, ${d.when.slice(0, 16).replace("T", " ")}` }))));
  $("title").textContent = state.title;
  showFindings(state.findings);
  if (state.fault) alarm(`The decision is kept, but walk.json is not written: ${state.fault}`);
  if (state.checked !== state.version) refresh();
}

function rowOf(ref) { return document.getElementById(`r-${ref.replaceAll(":", "-")}`); }

function showFindings(findings) {
  const place = $("findings"), keep = finding?.dataset.id, focused = place.contains(document.activeElement);
  place.replaceChildren(...findings.map((f) => {
    const buttons = make("div", { class: "buttons" });
    for (const o of f.offers) buttons.append(make("button", { type: "button", class: "plain", "data-offer": o.n, title: o.why, text: `Read it as ${o.text}` }));
    if (f.at != null) buttons.append(make("button", { type: "button", class: "plain", "data-hear": true, text: `Hear ${clock(f.at)}` }));
    buttons.append(make("button", { type: "button", class: "plain", "data-settle": true, text: "Settle with a reason" }));
    const mark = f.level === "conflict" ? "bad" : f.level === "check" ? "doubt" : "";
    return make("li", { class: `finding ${f.level}`, "data-id": f.id, "data-at": f.at ?? "", "data-end": f.end ?? "", tabindex: -1 },
      make("p", {}, make("span", { class: `mark ${mark}`, text: f.title }), ` ${f.message} `, make("span", { class: "quiet", text: f.where })), buttons);
  }));
  $("no-findings").hidden = findings.length > 0;
  finding = [...place.children].find((li) => li.dataset.id === keep) || null;
  finding?.classList.add("here");
  if (focused) (finding || $("next")).focus({ preventScroll: true });
}

// versions count on within one start of the program (its number stands above the lowest 20 bits)
const older = (a, b) => Math.floor(a / 1048576) === Math.floor(b / 1048576) && a < b;
let refreshing = false;
// what the checks, another tab, another person or a filled workbook changed since
async function refresh() {
  if (refreshing) return;
  refreshing = true;
  try {
    const state = await ask(`/walks/${number}/state?version=${version}`);
    refreshing = false;
    if (older(state.version, version)) return;
    if (state.whole) {
      const refs = new Set(state.changed.map((r) => r.ref));
      state.gone = [...rows.children].map((row) => row.dataset.ref).filter((ref) => !refs.has(ref));
    }
    show(state);
  } catch (error) { tell(error); } finally { refreshing = false; }
}
setInterval(() => {
  if (document.visibilityState !== "visible" || deciding) return;
  ask(`/walks/${number}/version`).then((now) => { if (now.version !== version && !deciding && !older(now.version, version)) refresh(); }).catch(() => {});
}, 4000);

// ------------------------------------------------------------------------------------------------------- findings

function chooseFinding(li) {
  finding?.classList.remove("here");
  finding = li;
  if (!li) return;
  li.classList.add("here");
  li.focus();
  li.scrollIntoView({ block: "nearest" });
}
function nextFinding() {
  const all = [...$("findings").children];
  if (!all.length) { say("No finding is open."); return; }
  chooseFinding(all[(all.indexOf(finding) + 1) % all.length]);
}
function settleFinding() {
  if (!finding) { nextFinding(); return; }
  const [title, ...rest] = [...finding.querySelector("p").childNodes].map((n) => n.textContent.trim());
  $("settle-what").textContent = `${title}: ${rest.filter(Boolean).join(" ")}`;
  $("reason").value = "";
  $("settle-box").showModal();
  $("reason").focus();
}
async function acceptOffer(li, n) { if (li) await decide({ act: "accept", ref: li.dataset.id, offer: n, why: "" }, "Accepted"); }

$("findings").addEventListener("click", (event) => {
  const li = event.target.closest(".finding"), button = event.target.closest("button");
  if (!li) return;
  chooseFinding(li);
  if (!button) return;
  if (button.dataset.offer !== undefined) acceptOffer(li, Number(button.dataset.offer));
  else if (button.dataset.hear !== undefined) hear(li.dataset.at, li.dataset.end);
  else settleFinding();
});
$("settle-form").addEventListener("submit", () => { if (finding) decide({ act: "settle", ref: finding.dataset.id, why: $("reason").value }, "Settled"); });

// --------------------------------------------------------------------------------------------------------- adding

const ADDED = { quantity: ["subject", "property", "value", "value_max", "unit", "approximate"], component: ["name", "count", "disposition", "condition"], station: ["number", "role"], identity: ["field", "value"] };
function addFields() { const kind = $("add-kind").value; $("add-fields").replaceChildren(...ADDED[kind].map((name) => fieldFor(kind, name, "", "a"))); }
$("add-kind").addEventListener("change", addFields);
function openAdd() { addFields(); $("add-why").value = ""; $("add-box").showModal(); }
$("add-form").addEventListener("submit", async (event) => {
  const kind = $("add-kind").value;
  event.preventDefault();
  let set;
  try { set = changesIn($("add-fields"), kind, true); } catch (error) { alarm(error.message); return; }
  if (await decide({ act: "add", kind, set, why: $("add-why").value, at: media && media.currentTime ? media.currentTime : null }, "Added")) $("add-box").close();
});
for (const button of document.querySelectorAll("[data-close]")) button.addEventListener("click", () => button.closest("dialog").close());

// ----------------------------------------------------------------------------------------------- buttons and keys

$("next").addEventListener("click", () => step(true));
$("undo").addEventListener("click", undo);
$("add-open").addEventListener("click", openAdd);
$("hear").addEventListener("click", () => chosen && hear(chosen.dataset.at, chosen.dataset.end));
$("confirm").addEventListener("click", confirmChosen);
$("withdraw").addEventListener("click", withdrawChosen);
$("bench").addEventListener("submit", (event) => { event.preventDefault(); changeChosen(); });
$("only").addEventListener("change", () => rows.classList.toggle("only", $("only").checked));
$("filter").addEventListener("input", () => {
  const text = $("filter").value.trim().toLowerCase();
  for (const row of rows.children) row.classList.toggle("hide", Boolean(text) && !row.textContent.toLowerCase().includes(text));
});
document.addEventListener("click", (event) => {
  const seek = event.target.closest("[data-seek]");
  if (seek) hear(seek.dataset.seek, Number(seek.dataset.seek) + 2);
});
try { $("who").value = localStorage.getItem("who") || ""; } catch { /* no storage: decisions are by "somebody" */ }
$("who").addEventListener("change", () => { try { localStorage.setItem("who", $("who").value.trim()); } catch { say("This browser keeps no names."); } });

const KEYS = {
  n: () => step(true), p: () => step(false), h: () => chosen && hear(chosen.dataset.at, chosen.dataset.end), c: confirmChosen, w: withdrawChosen, u: undo, a: openAdd,
  e: () => { const first = $("fields").querySelector('[name="value"], [name="count"], [name="role"], [name="stated_count"]') || $("fields").querySelector("input"); if (chosen && first) { first.focus(); first.select?.(); } },
  f: nextFinding, s: settleFinding, o: () => finding?.querySelector("[data-offer]") && acceptOffer(finding, 0),
  m: () => { if (media) decide({ act: "mark", at: media.currentTime, why: "look at this again" }, `Marked at ${clock(media.currentTime)}`); },
  " ": () => { if (media) { until = null; if (media.paused) media.play().catch(() => {}); else media.pause(); } },
};
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || document.querySelector("dialog[open]")) return;
  const typing = event.target.matches("input:not([type=checkbox]), select, textarea");
  if (event.key === "Escape" && typing) { (chosen?.querySelector(".pick") || $("next")).focus(); return; }
  if (typing || (event.key === " " && event.target.matches("button, summary, a, input, audio, video"))) return;
  const act = KEYS[event.key.toLowerCase()];
  if (act) { event.preventDefault(); act(); }
});
