
onmessage = async ({ data: module }) => {
  const go = new Go();
  await go.run(await WebAssembly.instantiate(module, go.importObject)); // takes over onmessage, and says when it is ready
  postMessage("gone");
};
