import { $, ask, finished, make, send, tell } from "./common.js";

const take = async (files) => { for (const file of files) await send(file, $("sending")); };
$("file").addEventListener("change", (event) => take([...event.target.files]));
const drop = $("drop");
for (const kind of ["dragenter", "dragover"]) drop.addEventListener(kind, (e) => { e.preventDefault(); drop.classList.add("over"); });
for (const kind of ["dragleave", "drop"]) drop.addEventListener(kind, (e) => { e.preventDefault(); drop.classList.remove("over"); });
drop.addEventListener("drop", (e) => take([...e.dataTransfer.files]));

async function follow(job) {
  const line = make("p"), bar = make("progress", { "aria-label": "Reading" }), box = make("div", { class: "card" }, line, bar);
  $("jobs").append(box);
  await finished(job, line, bar, box);
}

document.addEventListener("click", async (event) => {
  const button = event.target.closest("button");
  if (!button) return;
  const { finish, discard, read } = button.dataset;
  try {
    if (finish) { button.disabled = true; await follow((await ask(`/recordings/${finish}/finish`, {})).job); }
    if (read) { button.disabled = true; await follow((await ask("/read", { name: read })).job); }
    if (discard && confirm("Throw this recording away? It cannot be brought back.")) {
      await ask(`/recordings/${discard}/discard`, {});
      button.closest("li").remove();
    }
  } catch (error) { button.disabled = false; tell(error); }
});

ask("/jobs").then((jobs) => { for (const job of jobs) if (job.state === "waiting" || job.state === "working") follow(job); }).catch(tell);
