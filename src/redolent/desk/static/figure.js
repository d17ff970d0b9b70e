// A figure of a page. What draws it is large, so the kernel sends that once, in a widget of its own, and all
// figures of the page share it.

async function load(model) {
  const name = model.get("library").replace("IPY_MODEL_", "");
  const library = await model.widget_manager.get_model(name);
  const code = `const module = { exports: {} };\n${library.get("source")}\nexport default module.exports;`;
  const address = URL.createObjectURL(new Blob([code], { type: "text/javascript" }));
  try {
    return (await import(address)).default;
  } finally {
    URL.revokeObjectURL(address);
  }
}

async function render({ model, el }) {
  globalThis.redolentDrawing ??= load(model);
  let library;
  try {
    library = await globalThis.redolentDrawing;
  } catch (error) {
    globalThis.redolentDrawing = null; // the next figure tries again
    throw error;
  }
  const { data, layout } = JSON.parse(model.get("figure"));
  el.style.height = `${layout.height ?? 450}px`;
  await library.newPlot(el, data, layout, model.get("config"));
  // It is drawn before it has a place on the page, and fits when it gets one.
  const observer = new ResizeObserver(() => el.offsetWidth && library.Plots.resize(el));
  observer.observe(el);
  return () => {
    observer.disconnect();
    library.purge(el);
  };
}

export default { render };
