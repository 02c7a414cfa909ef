"use strict";
// Places what the engine made; every figure and sentence comes from there. ask brings a
// request to it, saved goes on from the answer to saving, said is to be told at first.
globalThis.sunrillStart = ({ ask, saved, said }) => {
  const byId = id => document.getElementById(id), all = (s, at = document) => [...at.querySelectorAll(s)];
  const tab = crypto.randomUUID(), controls = new Map(), last = new Map();
  const slots = new Map(all("[data-slot]").map(e => [e.dataset.slot, e]));
  let extra = [], rowsOld = false; // what the best plan sets that no control does; tables of before a move
  let n = 0, sunTimer, sayTimer, sun, waterBusy = false, waterAgain = false;

  const changed = () => [...controls.values()].filter(c => c.at !== c.was);
  const settings = () => {
    const set = changed().flatMap(c => c.sets[c.at]);
    return set.concat(extra.filter(([key]) => !set.some(s => s[0] === key)));
  };
  const say = text => { if (byId("said").textContent !== text) byId("said").textContent = text; };
  // tell says the verdict once nothing has moved for a while; of one that is open there is nothing to say yet.
  const tell = ({ announce }) => {
    if (!announce) return;
    clearTimeout(sayTimer);
    sayTimer = setTimeout(say, 700, announce);
  };

  function put(answer) {
    for (const [id, html] of Object.entries(answer.slots || {})) {
      const e = slots.get(id);
      if (!e) continue;
      e.classList.remove("pending");
      if (last.get(id) === html) continue;
      last.set(id, html);
      const open = all("details[open] > summary", e).map(s => s.textContent);
      e.innerHTML = html;
      for (const s of all("details > summary", e)) if (open.includes(s.textContent)) s.parentElement.open = true;
    }
  }

  // show puts faults beside their controls; those of saving stay until the next move.
  function show(faults, ofSaving) {
    all(".fault:not(.saving)").forEach(e => e.remove());
    for (const f of faults || []) {
      const p = document.createElement("p");
      p.className = ofSaving ? "fault saving" : "fault";
      p.setAttribute("role", "alert");
      p.textContent = f.message + (f.hint ? " " + f.hint : "");
      const own = controls.get(f.key) || [...controls.values()].find(c => c.sets[c.at].some(s => s[0] === f.key));
      (own ? own.el : byId("tray")).append(p);
    }
    return !(faults || []).length;
  }

  async function water() {
    if (waterBusy) { waterAgain = true; return; }
    waterBusy = true;
    do {
      waterAgain = false;
      try {
        const answer = await ask("answer", { n: ++n, tab, set: settings(), depth: "water" });
        if (show(answer.faults)) { put(answer); tell(answer); }
      } catch (e) { gone(e); }
    } while (waterAgain);
    waterBusy = false;
  }

  async function lateLane() {
    const { signal } = sun = new AbortController();
    try {
      const rows = document.querySelector(".folds details[open]") ? "all" : "front";
      for (const depth of ["sun", rows]) { // what is in sight first
        const answer = await ask("answer", { n: ++n, tab, set: settings(), depth }, signal);
        if (!show(answer.faults)) break;
        put(answer);
        if (depth === "sun") tell(answer);
        if (depth === "all") rowsOld = false;
      }
    } catch (e) { if (e.name !== "AbortError") gone(e); }
  }

  // late asks for what takes longer, once nothing has moved for a while.
  function late() {
    sun?.abort();
    clearTimeout(sunTimer);
    sunTimer = setTimeout(lateLane, 120);
  }

  const gone = e => { byId("tray").hidden = false; byId("changes").textContent = "No answer: " + (e.message || "sunrill has ended"); };

  function move(c, at) {
    c.at = at;
    c.draw();
    moved();
  }

  // moved tells what was changed, and asks what comes of it.
  function moved() {
    all(".saving").forEach(e => e.remove());
    all(".late").forEach(e => e.classList.add("pending"));
    rowsOld = true;
    const list = changed().map(c => c.label + ": " + c.names[c.at]).concat(extra.map(s => s.join(": ")));
    byId("tray").hidden = !list.length;
    byId("changes").textContent = list.join("; ");
    water();
    late();
  }

  function putBack() {
    for (const c of changed()) { c.at = c.was; c.draw(); }
    extra = [];
    rowsOld = true;
  }

  for (const el of all(".control")) {
    const d = el.dataset, range = el.querySelector("input[type=range]"), out = el.querySelector("output"), undo = el.querySelector(".undo");
    const radios = all("input[type=radio]", el);
    const c = { el, names: JSON.parse(d.names), sets: JSON.parse(d.sets), was: +d.at, at: +d.at,
      label: el.querySelector("legend, label[for], caption").textContent };
    if (d.key === "choice.pump") c.label = el.querySelector("caption").textContent;
    c.draw = () => {
      if (range) { range.value = c.at; range.setAttribute("aria-valuetext", c.names[c.at]); out.textContent = c.names[c.at]; }
      else radios[c.at].checked = true;
      if (undo) undo.hidden = c.at === c.was;
      el.classList.toggle("changed", c.at !== c.was);
    };
    range?.addEventListener("input", () => move(c, +range.value));
    radios.forEach((r, i) => r.addEventListener("change", () => move(c, i)));
    undo?.addEventListener("click", () => { move(c, c.was); (range || radios[c.was]).focus(); });
    controls.set(d.key, c);
    c.draw();
    el.hidden = false;
    all(".pick", el).forEach(e => { e.hidden = false; });
  }
  all(".given").forEach(e => { e.hidden = true; });

  byId("back").addEventListener("click", () => {
    putBack();
    byId("tray").hidden = true;
    all(".fault").forEach(e => e.remove());
    water();
    late();
    slots.get("verdict").tabIndex = -1;
    slots.get("verdict").focus();
  });
  const best = byId("best");
  if (best) best.hidden = false;
  best?.addEventListener("click", () => {
    putBack();
    const sets = JSON.parse(best.dataset.sets)[0];
    for (const c of controls.values()) {
      const at = c.sets.findIndex(s => s.length && s.every(([key, v]) => sets.some(b => b[0] === key && b[1] === v)));
      if (at >= 0 && at !== c.was) { c.at = at; c.draw(); }
    }
    const set = settings();
    extra = sets.filter(([key]) => !set.some(s => s[0] === key));
    moved();
  });
  document.querySelector(".folds")?.addEventListener("toggle", e => { if (e.target.open && rowsOld) late(); }, true);
  byId("save")?.addEventListener("click", async () => {
    try {
      const answer = await ask("save", { n: ++n, tab, set: settings(), depth: "water" });
      if (!show(answer.faults, true)) return;
      await saved(answer); // what is saved is the plan now
    } catch (e) { gone(e); }
  });
  if (said) {
    byId("tray").hidden = false;
    byId("changes").textContent = said;
    setTimeout(say, 700, said);
  }
  const strip = document.querySelector(".strip");
  new IntersectionObserver(([e]) => strip.classList.toggle("on",
    !e.isIntersecting && e.boundingClientRect.top < 0)).observe(document.querySelector(".tiles"));
};
