
// The engine is in the page: one module in two workers, so that water never waits for sun.
addEventListener("DOMContentLoaded", async () => {
  const byId = id => document.getElementById(id);
  const tell = text => { byId("pick").hidden = false; byId("picked").textContent = text; };
  const address = URL.createObjectURL(new Blob([sunrillWorker], { type: "text/javascript" }));
  const bytes = base64 => Uint8Array.from(atob(base64), c => c.charCodeAt(0));
  let water, sun, picked = {};

  // lane starts a worker and returns what asks it.
  const lane = module => new Promise((ready, failed) => {
    const worker = new Worker(address), waiting = new Map();
    let last = 0;
    const gone = () => {
      const error = new Error("the engine has ended: load the page again");
      failed(error);
      for (const { fail } of waiting.values()) fail(error);
    };
    const ask = (what, body, signal) => new Promise((done, fail) => {
      const n = ++last;
      waiting.set(n, { done, fail });
      signal?.addEventListener("abort", () => {
        if (!waiting.delete(n)) return;
        worker.postMessage({ n, what: "stop" });
        fail(signal.reason);
      });
      worker.postMessage({ n, what, body: JSON.stringify(body) });
    });
    worker.onerror = gone;
    worker.onmessage = ({ data }) => {
      if (data === "ready") { ready(ask); return; }
      if (data === "gone") { gone(); return; }
      const asked = waiting.get(data.n), answer = JSON.parse(data.body);
      waiting.delete(data.n);
      if (answer?.error) asked?.fail(new Error(answer.error)); else asked?.done(answer);
    };
    worker.postMessage(module);
  });

  const read = file => new Promise((done, fail) => {
    const r = new FileReader();
    r.onload = () => done(r.result.split(",")[1] || "");
    r.onerror = () => fail(r.error);
    r.readAsDataURL(file);
  });

  // open shows the plan among files, or what is wrong with them.
  async function open(files, said) {
    const answer = await sun("open", { files, page: true });
    if (answer.faults.length) { tell(answer.faults.map(f => f.message + (f.hint ? "\n" + f.hint : "")).join("\n")); return; }
    await water("open", { files });
    picked = files;
    const next = new DOMParser().parseFromString(answer.page, "text/html");
    document.title = next.title;
    document.body.replaceChildren(...next.body.children);
    start(said);
    const verdict = document.querySelector("[data-slot=verdict]");
    verdict.tabIndex = -1;
    verdict.focus();
  }

  async function saved(answer) {
    const a = document.createElement("a");
    a.href = URL.createObjectURL(new Blob([bytes(answer.text)], { type: "application/octet-stream" }));
    a.download = answer.name;
    a.click();
    await open({ ...picked, [answer.name]: answer.text }, answer.announce);
  }

  function start(said) {
    tell("");
    byId("files").addEventListener("change", async e => {
      const files = {};
      try {
        for (const f of e.target.files) files[f.name] = await read(f);
        if (Object.keys(files).length) await open(files);
      } catch (error) { tell(error.message); }
      e.target.value = ""; // so that the same file can be picked again
    });
    sunrillStart({ ask: (what, body, signal) => (body.depth === "water" ? water : sun)(what, body, signal), saved, said });
  }

  try {
    const packed = new Blob([bytes(byId("engine").textContent)]).stream().pipeThrough(new DecompressionStream("gzip"));
    const module = await WebAssembly.compileStreaming(new Response(packed, { headers: { "Content-Type": "application/wasm" } }));
    byId("engine").remove();
    [water, sun] = await Promise.all([lane(module), lane(module)]);
    performance.mark("engine");
    water("answer", { set: [], depth: "water" }); // the first of each takes longer than those after it
    sun("answer", { set: [], depth: "sun" });
    start();
  } catch (error) {
    tell("What is shown cannot be changed, as this browser does not run the engine: " + error.message);
    byId("files").disabled = true;
  }
});
