// The note pad: a text area over a layer that shows the same text with its read words lit.
// The kernel reads; this file only shows. Text from people is set as text, never as markup.
// A pad with a store keeps there what the kernel has not said to be on the disk: a kernel that died
// while someone typed takes nothing with it. Pads of one table (.rd-pads) are open one at a time.

const PAUSE = 150; // ms without a key before the note is sent to be read
const LONGEST = 600; // ms after which it is sent although someone types on: a draft must not wait for a pause

function render({ model, el }) {
  const box = document.createElement("div");
  box.className = "rd-pad";
  const layer = document.createElement("div");
  layer.className = "rd-layer";
  layer.setAttribute("aria-hidden", "true");
  const area = document.createElement("textarea");
  area.className = "rd-area";
  area.spellcheck = false;
  area.autocapitalize = "sentences";
  area.rows = 6;
  const list = document.createElement("ul");
  list.className = "rd-read";
  list.setAttribute("aria-label", "Words that were read, with their places");
  list.setAttribute("aria-live", "polite");
  const field = document.createElement("div");
  field.className = "rd-field";
  field.append(layer, area);
  const head = document.createElement("button");
  head.type = "button";
  head.className = "rd-cup";
  const code = document.createElement("b");
  const state = document.createElement("span");
  const wait = document.createElement("span");
  wait.className = "rd-wait";
  head.append(code, state, wait);
  if (model.get("head")) box.append(head);
  box.append(field, list);
  el.append(box);

  const table = () => [...(box.closest(".rd-pads")?.querySelectorAll(".rd-pad") ?? [])];
  const open = () => {
    for (const pad of table()) {
      pad.classList.toggle("rd-open", pad === box);
      pad.querySelector(".rd-cup")?.setAttribute("aria-expanded", String(pad === box));
    }
    area.focus();
  };
  const onTab = (event) => {
    // Tab goes from cup to cup; past the first and the last it goes on as everywhere.
    if (event.key !== "Tab" || event.altKey || event.ctrlKey || event.metaKey) return;
    const pads = table();
    const next = pads[pads.indexOf(box) + (event.shiftKey ? -1 : 1)];
    if (!next) return;
    event.preventDefault();
    next.querySelector(".rd-cup").click();
  };
  const onState = () => {
    code.textContent = model.get("head");
    state.textContent = model.get("state");
  };
  head.dataset.cup = model.get("head").split(" ").at(-1);
  head.addEventListener("click", open);
  box.classList.toggle("rd-open", model.get("opened"));
  head.setAttribute("aria-expanded", String(model.get("opened")));

  let timer = null;
  let agreed = model.get("text"); // the text that the kernel and the pad last had in common
  let since = null; // when the oldest text that was not sent yet was typed
  const send = () => {
    clearTimeout(timer);
    timer = since = null;
    if (model.get("text") !== area.value) {
      agreed = area.value;
      model.set("text", area.value);
      model.save_changes();
    }
  };
  const store = model.get("store");
  const keep = () => {
    try {
      if (area.value === model.get("kept")) localStorage.removeItem(store);
      else localStorage.setItem(store, area.value);
    } catch { /* a full or forbidden store: the kernel still has what it was sent */ }
  };
  const recall = () => {
    try { return localStorage.getItem(store); } catch { return null; }
  };
  const onInput = () => {
    light();
    if (store) keep();
    clearTimeout(timer);
    since ??= Date.now();
    timer = setTimeout(send, Math.max(0, Math.min(PAUSE, since + LONGEST - Date.now())));
  };
  // JupyterLab says in a dialog that a kernel died, and the dialog takes the keys of whoever is typing.
  // It has one button and asks nothing: it is closed, the pad says the same, and typing goes on.
  const onBlur = (event) => {
    send();
    const dialog = event.relatedTarget?.closest?.(".jp-Dialog");
    if (!store || dialog?.querySelectorAll(".jp-Dialog-button").length !== 1) return;
    state.textContent = "The kernel stopped. Your words are kept here; when you like, click ▶▶, or press Esc and then Shift+Enter.";
    dialog.querySelector(".jp-Dialog-button").click();
    area.focus();
    setTimeout(() => area.focus());
  };
  const onHide = () => { if (document.visibilityState === "hidden") send(); };

  // Segments that no longer match what stands in the area are of an older text: their lit part is
  // kept as far as the text agrees, the rest is shown plain.
  const light = () => {
    layer.replaceChildren();
    const text = area.value;
    let at = 0;
    for (const part of model.get("segments")) {
      if (text.slice(at, at + part.shown.length) !== part.shown) break;
      at += part.shown.length;
      if (!part.sense) {
        layer.append(part.shown);
        continue;
      }
      const mark = document.createElement("mark");
      mark.className = `rd-word rd-${part.sense}` + (part.present ? "" : " rd-denied");
      mark.textContent = part.shown;
      layer.append(mark);
    }
    layer.append(text.slice(at) + "\n");
  };
  // Of a table's pads only the word that the caret stands in tells its place (desk.css): a list of all would be
  // one more thing to read while tasting.
  const focus = () => {
    let at = 0, number = -1, here = -1;
    for (const part of model.get("segments")) {
      if (area.value.slice(at, at + part.shown.length) !== part.shown) break;
      if (part.sense) {
        number += 1;
        if (area.selectionStart >= at && area.selectionStart <= at + part.shown.length) here = number;
      }
      at += part.shown.length;
    }
    [...list.children].forEach((item, index) => item.classList.toggle("rd-here", index === here));
  };
  const onCaret = () => { if (document.activeElement === area) focus(); };
  const tell = () => {
    list.replaceChildren();
    for (const word of model.get("words")) {
      const item = document.createElement("li");
      item.className = `rd-${word.sense}`;
      const said = document.createElement("b");
      said.textContent = word.said;
      item.append(said, ` ${word.tells}`);
      list.append(item);
    }
    focus();
  };
  const onText = () => {
    // A text that the kernel sets (a restored draft, an emptied pad) replaces what is shown.
    // What was typed meanwhile behind the text that it replaces stays.
    const text = model.get("text");
    if (text === agreed) return;
    const typed = area.value.startsWith(agreed) ? area.value.slice(agreed.length) : "";
    if (timer === null || typed) area.value = text + typed;
    agreed = text;
    light();
  };
  const onAsk = () => {
    area.placeholder = model.get("placeholder");
    area.setAttribute("aria-label", model.get("label"));
  };
  const onScroll = () => { layer.scrollTop = area.scrollTop; };

  area.value = model.get("text");
  const unsent = store ? recall() : null;
  if (unsent !== null) {
    area.value = unsent;
    timer = setTimeout(send, 0);
  }
  onAsk();
  onState();
  light();
  tell();
  area.addEventListener("input", onInput);
  area.addEventListener("blur", onBlur);
  document.addEventListener("visibilitychange", onHide);
  document.addEventListener("selectionchange", onCaret);
  window.addEventListener("pagehide", send);
  area.addEventListener("scroll", onScroll);
  // JupyterLab has keys of its own; while someone types here they belong to the text.
  area.addEventListener("keydown", (event) => event.stopPropagation());
  area.addEventListener("keydown", onTab);
  if (store) model.on("change:kept", keep);
  model.on("change:head change:state", onState);
  model.on("change:segments", light);
  model.on("change:words", tell);
  model.on("change:text", onText);
  model.on("change:placeholder change:label", onAsk);
  return () => {
    send();
    document.removeEventListener("visibilitychange", onHide);
    document.removeEventListener("selectionchange", onCaret);
    window.removeEventListener("pagehide", send);
    model.off("change:segments", light);
    model.off("change:words", tell);
    model.off("change:text", onText);
    model.off("change:placeholder change:label", onAsk);
    model.off("change:kept", keep);
    model.off("change:head change:state", onState);
  };
}

export default { render };
