// Counts down in the browser, by the clock and not by ticks; says once that the time is over.
function render({ model, el }) {
  const shown = document.createElement("p");
  shown.className = "rd-countdown";
  shown.setAttribute("role", "timer");
  el.append(shown);
  let timer;
  const stop = () => clearInterval(timer);
  const start = () => {
    stop();
    const seconds = model.get("seconds");
    shown.textContent = "";
    if (!seconds) return;
    const end = performance.now() + seconds * 1000;
    const tick = () => {
      const left = Math.max(0, Math.ceil((end - performance.now()) / 1000));
      shown.textContent = left ? `${left} seconds left` : "The time is over.";
      if (left) return;
      stop();
      model.set("over", model.get("round"));
      model.save_changes();
    };
    tick();
    timer = setInterval(tick, 250);
  };
  model.on("change:round", start);
  start();
  return () => {
    stop();
    model.off("change:round", start);
  };
}
export default { render };
