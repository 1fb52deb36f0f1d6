// What every page needs: asking the server, telling people, watching long work, sending files piece by piece.

export const $ = (id) => document.getElementById(id);

export class Refused extends Error {
  constructor(status, value) {
    super(value.error || `the server answered ${status}`);
    this.status = status;
    this.value = value;
    this.remedy = value.remedy || "";
  }
}

export function clock(seconds) {
  const whole = Math.max(0, Math.floor(seconds));
  const minutes = Math.floor(whole / 60) % 60, hours = Math.floor(whole / 3600);
  const two = (n) => String(n).padStart(2, "0");
  return hours ? `${hours}:${two(minutes)}:${two(whole % 60)}` : `${minutes}:${two(whole % 60)}`;
}

// an element with text: words from a recording only ever come in as text, never as markup
export function make(tag, options = {}, ...children) {
  const made = document.createElement(tag);
  for (const [key, value] of Object.entries(options)) {
    if (key === "text") made.textContent = value;
    else if (key === "class") made.className = value;
    else if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
    else if (value !== false && value != null) made.setAttribute(key, value === true ? "" : value);
  }
  made.append(...children);
  return made;
}

let quiet;
export function say(text) {
  $("say").textContent = text;
  clearTimeout(quiet);
  quiet = setTimeout(() => { $("say").textContent = ""; }, 5000);
}

// the last alarm stands until it is answered; one that ends by itself has a kind and takes only itself away
let kindOfAlarm = "";
export function alarm(text, kind = "") {
  kindOfAlarm = text ? kind : "";
  $("alarm").hidden = !text;
  if ($("alarm").textContent !== (text || "")) $("alarm").textContent = text || "";
}
export function calm(kind) { if (kindOfAlarm === kind) alarm(""); }

export function who() {
  try { return localStorage.getItem("who") || ""; } catch { return ""; }
}

export async function ask(path, value, options = {}) {
  const headers = { "x-who": encodeURIComponent(who()) };
  let body;
  if (value instanceof Blob || value instanceof ArrayBuffer || ArrayBuffer.isView(value)) {
    body = value;
    headers["content-type"] = "application/octet-stream";
  } else if (value !== undefined) {
    body = JSON.stringify(value);
    headers["content-type"] = "application/json";
  }
  const answer = await fetch(path, { method: value === undefined ? "GET" : "POST", headers, body, ...options });
  let read = {};
  try { read = await answer.json(); } catch { /* an answer that is no JSON has no message of ours */ }
  if (!answer.ok) throw new Refused(answer.status, read);
  return read;
}

export function tell(error) {
  const gone = error instanceof TypeError ? "The program on the computer does not answer. Is it still running?" : "";
  alarm(gone || [error.message, error.remedy].filter(Boolean).join(". "));
}

const wait = (ms) => new Promise((go) => setTimeout(go, ms));

export async function watch(number, show) {
  for (;;) {
    let job;
    try { job = (await ask("/jobs")).find((j) => j.number === number); } catch (error) { tell(error); await wait(2000); continue; }
    if (!job) return null;
    show(job);
    if (job.state === "done" || job.state === "failed") return job;
    await wait(700);
  }
}

export function stageOf(job) {
  if (job.state === "waiting") return `${job.title}: waiting for the work before it`;
  if (job.state === "failed") return [job.message, job.remedy].filter(Boolean).join(". ");
  const of = job.whole ? `, ${clock(job.done)} of ${clock(job.whole)}` : "";
  return job.state === "done" ? `${job.title}: done` : `${job.title}: ${job.stage || "beginning"}${of}`;
}

export async function send(file, place) {
  const line = make("p", { text: `${file.name}, ${(file.size / 1048576).toFixed(1)} MB` });
  const bar = make("progress", { max: file.size, value: 0, "aria-label": `Sending ${file.name}` });
  const box = make("div", { class: "card" }, line, bar);
  place.append(box);
  try {
    const about = await ask("/files", { name: file.name, size: file.size, key: `${file.lastModified}` });
    let there = about.there, job = null, failures = 0;
    while (there < file.size || !job) {
      try {
        const answer = await ask(`/files/${about.number}?at=${there}`, file.slice(there, there + about.piece));
        there = answer.there; job = answer.job; failures = 0;
        bar.value = there;
        line.textContent = `${file.name}: ${(there / 1048576).toFixed(1)} of ${(file.size / 1048576).toFixed(1)} MB`;
        if (there >= file.size) break;
      } catch (error) {
        // a break in the network: go on where the disk has it
        if (error instanceof Refused && error.status !== 400) throw error;
        if (++failures > 200) throw error;
        line.textContent = `${file.name}: the computer does not answer, trying again`;
        await wait(1500);
        try { there = (await ask("/files", { name: file.name, size: file.size, key: `${file.lastModified}` })).there; } catch (again) {
          if (again instanceof Refused) throw again;
        }
      }
    }
    bar.removeAttribute("value");
    return await finished(job, line, bar, box);
  } catch (error) {
    line.textContent = `${file.name}: ${[error.message, error.remedy].filter(Boolean).join(". ")}`;
    box.classList.add("note", "bad");
    bar.remove();
    return null;
  }
}

export async function finished(job, line, bar, box) {
  const done = await watch(job.number, (now) => {
    line.textContent = stageOf(now);
    if (now.whole) { bar.max = now.whole; bar.value = now.done; } else bar.removeAttribute("value");
  });
  bar.remove();
  if (done && done.state === "done") {
    for (const id of done.result || []) box.append(make("a", { class: "button", href: `/walks/${id}`, text: "Listen and settle" }));
  } else box.classList.add("note", "bad");
  return done;
}
