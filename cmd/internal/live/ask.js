
// The engine is the server that the page came from.
sunrillStart({
  said: history.state?.said,
  ask: async (what, body, signal) => {
    const r = await fetch(what, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body), signal });
    if (!r.ok && r.status !== 409) throw new Error(await r.text());
    return r.json();
  },
  saved: answer => {
    history.replaceState({ said: answer.announce }, "");
    location.reload();
  },
});
history.replaceState(null, "");
