// The note pad: a text area over a layer that shows the same text with its read words lit.
// The kernel reads; this file only shows. Text from people is set as text, never as markup.

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
  box.append(field, list);
  el.append(box);

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
  const onInput = () => {
    light();
    clearTimeout(timer);
    since ??= Date.now();
    timer = setTimeout(send, Math.max(0, Math.min(PAUSE, since + LONGEST - Date.now())));
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
  onAsk();
  light();
  tell();
  area.addEventListener("input", onInput);
  area.addEventListener("blur", send);
  document.addEventListener("visibilitychange", onHide);
  window.addEventListener("pagehide", send);
  area.addEventListener("scroll", onScroll);
  // JupyterLab has keys of its own; while someone types here they belong to the text.
  area.addEventListener("keydown", (event) => event.stopPropagation());
  model.on("change:segments", light);
  model.on("change:words", tell);
  model.on("change:text", onText);
  model.on("change:placeholder change:label", onAsk);
  return () => {
    send();
    document.removeEventListener("visibilitychange", onHide);
    window.removeEventListener("pagehide", send);
    model.off("change:segments", light);
    model.off("change:words", tell);
    model.off("change:text", onText);
    model.off("change:placeholder change:label", onAsk);
  };
}

export default { render };
