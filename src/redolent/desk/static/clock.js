// The clock of a tasting: each cup's time since its own pour, its break, and how warm it should be.
// It runs in the browser. Pour times are kept in the browser's storage as well as by the kernel, and the
// newer of the two counts, so that neither a restart nor a reload loses them. The kernel computes; this
// file only compares times.

const RECENT = 15; // s for which a ring that was missed (a reload, a sleeping page) is still rung

function render({ model, el }) {
  const box = document.createElement("div");
  box.className = "rd-clock";
  const cups = document.createElement("div");
  cups.className = "rd-clock-cups";
  const said = document.createElement("p");
  said.className = "rd-clock-said";
  said.setAttribute("role", "status");
  box.append(said, cups);
  el.append(box);

  let sound = null;
  const rung = new Set();
  const store = model.get("store");

  // ---- pour times: {code: {at: ms or null, set: ms}}
  const stored = () => {
    try { return JSON.parse(localStorage.getItem(store)) ?? {}; } catch { return {}; }
  };
  const write = (pours) => {
    try { localStorage.setItem(store, JSON.stringify(pours)); } catch { /* the kernel has them */ }
  };
  const merge = () => {
    const [here, there] = [stored(), model.get("pours")];
    const pours = {};
    for (const code of model.get("codes")) {
      const [a, b] = [here[code], there[code]];
      const newer = a && b ? (a.set > b.set ? a : b) : a ?? b;
      if (newer) pours[code] = newer;
    }
    return pours;
  };
  let pours = {};
  const agree = () => {
    pours = merge();
    write(pours);
    if (JSON.stringify(pours) !== JSON.stringify(model.get("pours"))) {
      model.set("pours", pours);
      try { model.save_changes(); } catch { /* no kernel: told when there is one */ }
    }
    draw();
  };
  // A browser lets a page sound only once somebody has touched it; after a reload any touch or key will do.
  const wake = () => {
    sound ??= window.AudioContext ? new AudioContext() : null;
    sound?.resume?.();
  };
  const pour = (code, at) => {
    write({ ...pours, [code]: { at, set: Date.now() } });
    rung.delete(code);
    wake();
    agree();
  };

  const ring = () => {
    if (!sound) return;
    const [tone, gain] = [sound.createOscillator(), sound.createGain()];
    const now = sound.currentTime;
    tone.frequency.value = 587;
    gain.gain.setValueAtTime(0.0001, now);
    gain.gain.exponentialRampToValueAtTime(0.12, now + 0.05);
    gain.gain.exponentialRampToValueAtTime(0.0001, now + 1.2);
    tone.connect(gain).connect(sound.destination);
    tone.start(now);
    tone.stop(now + 1.3);
  };

  // ---- what is shown
  const minutes = (seconds) => {
    const whole = Math.max(0, Math.floor(seconds));
    return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
  };
  const warmth = (seconds) => {
    const temperatures = model.get("temperatures");
    const at = Math.min(Math.round(seconds / 60), temperatures.length - 1);
    return temperatures.length ? `about ${temperatures[at]}\u00a0${model.get("unit")}` : "";
  };
  const next = (seconds) => {
    const [step, due] = [model.get("step"), model.get("due")];
    const left = (name) => due[name] * 60 - seconds;
    if (["pour", "crust", "break", "dry"].includes(step)) {
      const to = left("break");
      return to > 0 ? `break in ${minutes(to)}` : to > -60 && step !== "dry" ? "break now" : "";
    }
    if (!(step in due) || step === "break") return "";
    if (left("safe") > 0) return `wait, too hot: ${minutes(left("safe"))} to go`;
    return left(step) > 0 ? `${step} in ${minutes(left(step))}` : `${step} now`;
  };
  const rows = new Map();
  const build = () => {
    cups.replaceChildren();
    rows.clear();
    model.get("codes").forEach((code, number) => {
      const row = document.createElement("div");
      const name = document.createElement("b");
      name.textContent = `${number + 1} · ${code}`;
      const [time, told] = [document.createElement("span"), document.createElement("span")];
      time.className = "rd-time";
      const act = document.createElement("button");
      act.type = "button";
      act.className = "rd-pour";
      act.addEventListener("click", () => pour(code, pours[code]?.at ? null : Date.now()));
      row.append(name, time, told, act);
      cups.append(row);
      rows.set(code, { row, time, told, act });
    });
  };
  const draw = () => {
    const [now, step] = [Date.now(), model.get("step")];
    box.hidden = ["dry", "reveal"].includes(step) && !Object.values(pours).some((one) => one.at);
    const due = [];
    for (const [code, { row, time, told, act }] of rows) {
      const at = pours[code]?.at;
      const seconds = at ? (now - at) / 1000 : null;
      const label = at ? `Take back ${code}` : `Pour ${code}`;
      if (act.textContent !== label) act.textContent = label;
      act.hidden = at ? step !== "pour" : false;
      act.classList.toggle("rd-again", Boolean(at));
      time.textContent = at ? minutes(seconds) : "–";
      const text = at ? next(seconds) : "";
      const more = at ? [text, warmth(seconds)].filter(Boolean).join(" · ") : "not poured yet";
      if (told.textContent !== more) told.textContent = more;
      const breaking = text === "break now";
      row.classList.toggle("rd-due", breaking);
      if (breaking) due.push(code);
      if (at && seconds >= model.get("due").break * 60 && !rung.has(code)) {
        rung.add(code);
        if (seconds < model.get("due").break * 60 + RECENT && step !== "reveal") ring();
      }
      const waiting = text.startsWith("wait") ? text : "";
      const wait = el.closest(".rd-desk")?.querySelector(`.rd-cup[data-cup="${code}"] .rd-wait`);
      if (wait && wait.textContent !== waiting) wait.textContent = waiting;
    }
    const says = due.length ? `Break ${due.join(", ")} now` : "";
    if (said.textContent !== says) said.textContent = says;
  };

  // ---- keys: a number goes to its cup; while someone types it is written, and with Alt it goes there too.
  // JupyterLab's one-letter commands (one deletes a cell) must not run while a button of a panel has the focus.
  const onKey = (event) => {
    const desk = el.closest(".rd-desk");
    const held = document.activeElement;
    if (!desk?.contains(held) || event.ctrlKey || event.metaKey) return;
    const typing = held.matches("input:not([type=checkbox]), textarea, select");
    const digit = /^(?:Digit|Numpad)(\d)$/.exec(event.code)?.[1];
    if (digit !== undefined && (event.altKey || !typing)) {
      const cup = desk.querySelectorAll(".rd-pads .rd-cup")[(Number(digit) || 10) - 1];
      if (cup) {
        event.preventDefault();
        cup.click();
      }
      event.stopImmediatePropagation();
    } else if (!typing && !event.altKey && (event.key.length === 1 || (event.key === "Enter" && !event.shiftKey))) {
      // Shift+Enter runs the cell: so a panel whose kernel stopped comes back without a mouse.
      event.stopImmediatePropagation();
    } else if (event.key === "Escape" && held.matches(".rd-area")) {
      // Out of the text, so that numbers go to cups; not into JupyterLab's command mode.
      event.stopImmediatePropagation();
      held.closest(".rd-pad").querySelector(".rd-cup")?.focus();
    }
  };

  // The button that led to the next step is gone, and the focus with it: put it where the work goes on.
  const onStep = () => setTimeout(() => {
    const desk = el.closest(".rd-desk");
    if (document.activeElement !== document.body || !desk) return;
    const pours = [...cups.querySelectorAll(".rd-pour:not([hidden]):not(.rd-again)")];
    const pour = model.get("step") === "pour" ? pours[0] : null;
    (pour ?? desk.querySelector(".rd-pads .rd-open .rd-area") ?? desk.querySelector(".rd-steps .mod-active"))?.focus();
  }, 200);

  build();
  agree();
  const timer = setInterval(draw, 250);
  const onCodes = () => { build(); agree(); };
  model.on("change:codes", onCodes);
  model.on("change:pours", agree);
  model.on("change:step", onStep);
  model.on("change:step change:due change:temperatures change:unit", draw);
  window.addEventListener("keydown", onKey, true);
  for (const touch of ["pointerdown", "keydown"]) window.addEventListener(touch, wake, { capture: true, once: true });
  return () => {
    clearInterval(timer);
    sound?.close?.();
    window.removeEventListener("keydown", onKey, true);
    for (const touch of ["pointerdown", "keydown"]) window.removeEventListener(touch, wake, true);
    model.off("change:codes", onCodes);
    model.off("change:pours", agree);
    model.off("change:step", onStep);
    model.off("change:step change:due change:temperatures change:unit", draw);
  };
}

export default { render };
