// Recording: sound leaves the page twice a second and is flushed to the disk; what the disk has not acknowledged stays
// here and is sent again, so a server that was killed loses nothing while this page lives.
import { $, alarm, ask, calm, clock, make, Refused, say, send, stageOf, tell, watch } from "./common.js";
import { Resampler } from "./resample.js";

const RATE = 16000, MOST = 30 * 60 * RATE * 2;
let number = null, recording = false, paused = false, stopping = false;
let unsent = [], unsentBytes = 0, acknowledged = 0, made = 0;
let stream = null, context = null, resampler = null, lock = null, socket = null, timer = null, sending = false;

const remembered = { get: () => sessionStorage.getItem("recording"), set: (n) => n ? sessionStorage.setItem("recording", n) : sessionStorage.removeItem("recording") };

function why() {
  if (!window.isSecureContext) return "Over plain http on another device, browsers give no microphone. Start tallywalk review with --tls, open the new link and accept the certificate once.";
  if (!navigator.mediaDevices || !window.AudioWorkletNode) return "This browser cannot record in a page.";
  return "";
}

function refuse(reason) {
  $("nomic").hidden = false;
  $("whynot").textContent = reason;
  $("deck").hidden = true;
}

for (const id of ["sound-file", "video-file"]) $(id).addEventListener("change", (e) => [...e.target.files].reduce((before, file) => before.then(() => send(file, $("sending"))), Promise.resolve()));

// a browser without a sound output, or one that waits for a press, may leave the clock of its sound standing
const started = (context) => Promise.race([context.resume().then(() => true), new Promise((go) => setTimeout(() => go(false), 4000))]);

let beginning = false;
async function begin() {
  if (recording || beginning) return;
  beginning = true;
  try { await beginNow(); } finally { beginning = false; }
}

async function beginNow() {
  try {
    stream = await navigator.mediaDevices.getUserMedia({ audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: true } });
  } catch (error) {
    const reasons = { NotAllowedError: "The microphone was refused. Allow it for this page in the browser, then load the page again.", NotFoundError: "No microphone was found.", NotReadableError: "Another program holds the microphone." };
    refuse(reasons[error.name] || `The microphone could not be opened (${error.name}).`);
    return;
  }
  try {
    if (!number) {
      const about = await ask("/recordings", { name: "" });
      number = about.number;
      acknowledged = made = 0;
    } else {
      acknowledged = made = (await ask(`/recordings/${number}`)).size;
      ask(`/recordings/${number}/event`, { kind: "gap", at: made / 2 / RATE }).catch(tell);
    }
  } catch (error) { stream.getTracks().forEach((t) => t.stop()); tell(error); return; }
  remembered.set(number);
  context = new AudioContext();
  try {
    if (context.state !== "running" && !await started(context)) throw new Error("this browser does not start its sound. Press the button once more; where that does not help, connect a loudspeaker or headphones, or take another browser");
    await context.audioWorklet.addModule("/static/tap.js");
  } catch (error) {
    stream.getTracks().forEach((t) => t.stop());
    context.close();
    alarm(`Nothing is recorded: ${error.message}.`);
    show();
    return;
  }
  resampler = new Resampler(context.sampleRate);
  const tap = new AudioWorkletNode(context, "tap", { numberOfOutputs: 0 });
  tap.port.onmessage = (event) => heard(event.data);
  context.createMediaStreamSource(stream).connect(tap);
  stream.getAudioTracks()[0].addEventListener("ended", lost);
  // a phone may stop the sound when its screen locks or a call comes
  const mine = context;
  context.addEventListener("statechange", () => {
    if (context !== mine || !recording) return;
    if (mine.state === "running") calm("stopped");
    else { alarm("The browser has stopped the microphone: nothing is recorded now. Keep this page in front and the screen on.", "stopped"); mine.resume().catch(() => {}); }
  });
  recording = true; paused = false; lastHeard = 0; silent = 0;
  alarm("");
  show();
  timer = timer || setInterval(flush, 500);
  keepAwake();
  listen();
  say("Recording");
}

function lost() {
  if (!recording) return;
  recording = false;
  stream.getTracks().forEach((track) => track.stop());
  context.close();
  flush();
  show();
  alarm("The microphone went away. What was recorded is kept. Press Go on recording, or Stop and read.");
}

let lastHeard = 0, silent = 0, talking = 0;
function heard(block) {
  let loudest = 0;
  for (const x of block) loudest = Math.max(loudest, Math.abs(x));
  $("level").value = Math.round(100 * Math.sqrt(loudest));
  if (!recording) return;
  if (paused) {
    // the usual way to lose half a walk: it was paused and nobody noticed
    talking = loudest > 0.08 ? talking + 1 : Math.max(0, talking - 0.2);
    if (talking > 25) alarm("Paused: what is said now is not kept. Press Go on.", "paused");
    return;
  }
  const now = performance.now(), away = lastHeard ? (now - lastHeard) / 1000 : 0;
  lastHeard = now;
  if (away > 3) {
    ask(`/recordings/${number}/event`, { kind: "gap", at: made / 2 / RATE }).catch(tell);
    alarm(`${Math.round(away)} s were not recorded: the browser was stopped. Keep this page in front and the screen on.`);
  }
  silent = loudest < 0.002 ? silent + 1 : 0;
  if (silent === 80) alarm("No sound comes from the microphone. Is it covered, muted or the wrong one?", "silent");
  else if (!silent) calm("silent");
  const whole = resampler.push(block);
  if (unsentBytes > MOST) { alarm("Half an hour of sound waits for the computer; what comes now is not kept."); return; }
  unsent.push(whole);
  unsentBytes += whole.byteLength;
  made += whole.byteLength;
  $("time").textContent = clock(made / 2 / RATE);
}

function waiting() {
  const all = new Uint8Array(Math.min(unsentBytes, 4 << 20));
  let at = 0;
  for (const part of unsent) {
    if (at + part.byteLength > all.length) break;
    all.set(new Uint8Array(part.buffer, part.byteOffset, part.byteLength), at);
    at += part.byteLength;
  }
  return all.subarray(0, at);
}

function drop(bytes) {
  unsentBytes -= bytes;
  acknowledged += bytes;
  while (bytes > 0 && unsent.length) {
    const first = unsent[0];
    if (first.byteLength <= bytes) { bytes -= first.byteLength; unsent.shift(); }
    else { unsent[0] = first.subarray(bytes / 2); bytes = 0; }
  }
}

async function flush() {
  if (sending || !number || !unsentBytes) return;
  sending = true;
  try {
    const data = waiting();
    const answer = await ask(`/recordings/${number}/sound?at=${acknowledged}`, data, { signal: AbortSignal.timeout(10000) });
    drop(Math.max(0, Math.min(unsentBytes, answer.size - acknowledged)));
    kept(answer.free);
    calm("net");
    if (!socket) listen();
  } catch (error) {
    if (error instanceof Refused && error.status === 409) {
      // the disk has less or more than this page thinks: go by the disk
      const size = error.value.size;
      if (size > acknowledged) drop(Math.min(unsentBytes, size - acknowledged));
      else alarm(`${clock((acknowledged - size) / 2 / RATE)} of sound is missing on the computer.`), acknowledged = size;
    } else if (error instanceof Refused && error.status === 404 && recording) await anew();
    else if (error instanceof Refused) alarm([error.message, error.remedy].filter(Boolean).join(". "), "net");
    else alarm(`The computer does not answer. Recording goes on; ${clock(unsentBytes / 2 / RATE)} wait here and will be sent.`, "net");
  } finally { sending = false; }
}

// the recording's folder was deleted underneath: what waits here, and all that is said from now on, goes into a new one
async function anew() {
  const about = await ask("/recordings", { name: "" }).catch(() => null);
  if (!about) { alarm("The folder of this recording is gone, and no new one can be made. Recording goes on here; look at the computer."); return; }
  number = about.number;
  acknowledged = 0;
  made = unsentBytes;
  remembered.set(number);
  if (socket) socket.close();
  alarm("The folder of this recording was deleted on the computer. A new recording goes on from here; what was said before is gone, look for it in the computer's bin.");
}

function kept(free) {
  $("kept").textContent = `${clock(acknowledged / 2 / RATE)} kept on the computer.`;
  const hours = free / (RATE * 2 * 3600);
  $("free").textContent = hours > 48 ? `Room for ${Math.floor(hours / 24)} days more.` : `Room for ${clock(free / (RATE * 2))} more.`;
}

async function keepAwake() {
  try { lock = await navigator.wakeLock.request("screen"); } catch { say("The screen may go dark by itself; recording may stop then. Keep it on."); }
}
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState !== "visible" || !recording) return;
  keepAwake();
  if (context.state !== "running") context.resume().catch(() => {});
});

window.addEventListener("pagehide", () => {
  if (number && unsentBytes && !stopping) navigator.sendBeacon(`/recordings/${number}/sound?at=${acknowledged}`, waiting());
});
window.addEventListener("beforeunload", (event) => { if (recording && unsentBytes > 5 * RATE * 2) event.preventDefault(); });

function show() {
  $("main-button").setAttribute("aria-pressed", String(recording));
  $("main-button").classList.toggle("paused", recording && paused);
  $("main-text").textContent = recording ? (paused ? "Paused" : "Recording") : number ? "Go on recording" : "Record";
  $("main-hint").textContent = recording ? (paused ? "press to go on" : "press to pause") : "";
  document.body.classList.toggle("on", Boolean(number));
  for (const id of ["pause", "mark", "photo"]) $(id).disabled = !recording;
  $("stop").disabled = !number;
  $("photo-label").classList.toggle("off", !recording);
  $("pause").textContent = paused ? "Go on" : "Pause";
}

$("main-button").addEventListener("click", () => recording ? pause() : begin());
$("pause").addEventListener("click", pause);
function pause() {
  paused = !paused;
  lastHeard = talking = 0;
  calm("paused");
  ask(`/recordings/${number}/event`, { kind: paused ? "pause" : "resume", at: made / 2 / RATE }).catch(tell);
  show();
  say(paused ? "Paused" : "Recording goes on");
}
$("mark").addEventListener("click", () => {
  const at = made / 2 / RATE;
  ask(`/recordings/${number}/event`, { kind: "mark", at }).then(() => say(`Marked at ${clock(at)}`)).catch(tell);
});
$("photo").addEventListener("change", async (event) => {
  const at = made / 2 / RATE;
  for (const file of event.target.files) await ask(`/recordings/${number}/picture?at=${at.toFixed(2)}`, file).then(() => say(`Photo kept at ${clock(at)}`)).catch(tell);
  event.target.value = "";
});
document.addEventListener("keydown", (event) => {
  if (event.target.matches("input, textarea, select") || event.ctrlKey || event.altKey || event.metaKey || !recording) return;
  if (event.key === "m" || event.key === "M") $("mark").click();
});

$("stop").addEventListener("click", async () => {
  $("stop").disabled = true;
  paused = true;
  const until = Date.now() + 20000;
  while (unsentBytes && Date.now() < until) { await flush(); await new Promise((go) => setTimeout(go, 100)); }
  if (unsentBytes) { alarm("Some sound is not on the computer yet. Press Stop again when it answers."); $("stop").disabled = false; return; }
  recording = false; stopping = true;
  stream?.getTracks().forEach((track) => track.stop());
  if (context && context.state !== "closed") context.close();
  if (lock) lock.release().catch(() => {});
  if (socket) socket.close();
  try {
    const answer = await ask(`/recordings/${number}/finish`, {});
    remembered.set(null);
    number = null;
    show();
    $("main-button").disabled = true;
    $("after").hidden = false;
    const job = await watch(answer.job.number, (now) => {
      $("after-text").textContent = stageOf(now);
      if (now.whole) { $("after-bar").max = now.whole; $("after-bar").value = now.done; } else $("after-bar").removeAttribute("value");
    });
    $("after-bar").hidden = true;
    if (job && job.state === "done") { $("after-link").href = `/walks/${job.result[0]}`; $("after-link").hidden = false; $("after-link").focus(); }
  } catch (error) { tell(error); stopping = false; show(); $("stop").disabled = false; }
});

// ------------------------------------------------------------------------------------------------- in the moment

const told = new Set();
let wordsHave = 0;

function listen() {
  if (socket || stopping || !number) return;
  const scheme = location.protocol === "https:" ? "wss" : "ws";
  socket = new WebSocket(`${scheme}://${location.host}/recordings/${number}/live`);
  socket.onmessage = (event) => understood(JSON.parse(event.data));
  socket.onclose = () => { socket = null; };
}

function understood(now) {
  const settled = $("settled");
  if (now.from === 0) { settled.replaceChildren(); wordsHave = 0; }
  for (const [text, start, , doubtful] of now.words) {
    settled.append(doubtful ? make("span", { class: "mark doubt", text, title: `heard badly at ${clock(start)}` }) : text, " ");
    wordsHave++;
  }
  $("pending").textContent = now.pending;
  const box = $("words");
  if (now.words.length || now.pending) box.scrollTop = box.scrollHeight;
  $("behind").textContent = now.behind > 4 ? `Listening is ${Math.round(now.behind)} s behind; nothing is lost.` : "";
  $("fault").hidden = !now.fault;
  $("fault").textContent = [now.fault, now.remedy].filter(Boolean).join(" ");
  const conflicts = now.findings.filter((f) => f.level === "conflict" || f.level === "check");
  const missing = now.findings.filter((f) => f.level === "missing");
  const doubts = now.facts.filter((f) => f.doubt).map((f) => ({ id: `doubt ${f.name} ${f.value}`, level: "check", message: `${f.name}: ${f.value}? ${f.doubt}`, at: f.at, where: "" }));
  list($("conflicts"), [...conflicts, ...doubts]);
  list($("ask"), missing);
  for (const id of ["n-conf", "t-conf"]) $(id).textContent = conflicts.length + doubts.length;
  for (const id of ["n-ask", "t-ask"]) $(id).textContent = missing.length;
  $("n-facts").textContent = now.facts.length;
  $("facts").replaceChildren(...now.facts.slice(0, 60).map((f) => make("li", {}, make("span", { class: "t", text: f.at == null ? "" : clock(f.at) }), `${f.name} `, make("b", { text: f.value }))));
  // once each: what was told may leave and come again with another number of the list, not with other words
  const name = (f) => f.id.startsWith("unheard") ? f.id : f.message;
  const fresh = conflicts.filter((f) => f.signal && !told.has(name(f)));
  if (fresh.length) signal();
  for (const f of fresh) told.add(name(f));
}

// each finding once: an entry that stays is left alone, so that a screen reader does not read it again
function list(place, findings) {
  const have = new Map([...place.children].map((li) => [li.dataset.key, li]));
  const keys = new Set(findings.map((f) => f.id + f.message));
  for (const [key, li] of have) if (!keys.has(key)) li.remove();
  for (const f of findings) {
    const key = f.id + f.message;
    if (have.has(key)) continue;
    const li = make("li", { class: `finding new ${f.level}` }, make("p", {}, f.at == null ? "" : make("span", { class: "t", text: clock(f.at) }), " ", f.message, f.where ? make("span", { class: "quiet", text: ` ${f.where}` }) : ""));
    li.dataset.key = key;
    li.dataset.shown = (made / 2 / RATE).toFixed(2);
    place.append(li);
  }
}

function signal() {
  if ($("buzz").checked && navigator.vibrate) navigator.vibrate(200);
  if ($("tone").checked && context) {
    const tone = context.createOscillator(), gain = context.createGain();
    gain.gain.value = 0.05;
    tone.frequency.value = 660;
    tone.connect(gain).connect(context.destination);
    tone.start();
    tone.stop(context.currentTime + 0.12);
  }
}

// disabled as sent: a press before this script listens would be lost
$("main-button").disabled = false;
const reason = why();
if (reason) refuse(reason);
else {
  const asked = new URLSearchParams(location.search).get("number"), before = asked || remembered.get();
  if (before) {
    ask(`/recordings/${encodeURIComponent(before)}`).then((about) => {
      number = about.number;
      acknowledged = made = about.size;
      $("time").textContent = clock(made / 2 / RATE);
      $("kept").textContent = `${clock(made / 2 / RATE)} kept on the computer.`;
      show();
      listen();
      // a reload in the middle of recording: go on by itself, the microphone was allowed already
      if (!asked) begin();
    }).catch(() => remembered.set(null));
  }
}
