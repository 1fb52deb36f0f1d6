import { $, ask, make, stageOf, tell, watch } from "./common.js";

$("make").addEventListener("click", async () => {
  $("make").disabled = true;
  try {
    const { job } = await ask(`/walks/${$("make").dataset.number}/documents`, {});
    const line = make("p", { class: "note" });
    $("made").replaceChildren(line);
    const done = await watch(job.number, (now) => { line.textContent = stageOf(now); });
    if (done.state === "done") {
      const { kept, partial } = done.result;
      if (!kept.length && !partial.length) { location.reload(); return; }
      for (const text of kept) $("made").append(make("p", { class: "note", text: `Left as somebody changed it: ${text}` }));
      for (const text of partial) $("made").append(make("p", { class: "note bad", text: `Not done: ${text}` }));
      $("made").append(make("p", {}, make("a", { class: "button", href: "", text: "Show the new documents" })));
    } else line.classList.add("bad");
  } catch (error) { tell(error); }
  $("make").disabled = false;
});
// disabled as sent: a press before this script listens would be lost
$("make").disabled = false;
