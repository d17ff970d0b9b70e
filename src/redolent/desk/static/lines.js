// Line scales from end to end, without numbers: a mark is a place on the line (ISO 4121).

function render({ model, el }) {
  const box = document.createElement("div");
  box.className = "rd-lines";
  el.append(box);
  const draw = () => {
    box.replaceChildren();
    for (const attribute of model.get("attributes")) {
      const row = document.createElement("label");
      const [name, low, line, high] = ["b", "span", "input", "span"].map((tag) => document.createElement(tag));
      name.textContent = attribute;
      [low.textContent, high.textContent] = ["not at all", "very"];
      [line.type, line.min, line.max, line.step] = ["range", 0, 100, "any"];
      line.setAttribute("aria-label", `${attribute}, from not at all to very`);
      const mark = model.get("marks")[attribute];
      line.value = mark ?? 50;
      row.classList.toggle("rd-unmarked", mark === undefined);
      line.addEventListener("change", () => {
        row.classList.remove("rd-unmarked");
        model.set("marks", { ...model.get("marks"), [attribute]: Number(line.value) });
        model.save_changes();
      });
      row.append(name, low, line, high);
      box.append(row);
    }
  };
  draw();
  const onMarks = () => { if (!box.contains(document.activeElement)) draw(); };
  model.on("change:marks", onMarks);
  return () => model.off("change:marks", onMarks);
}

export default { render };
