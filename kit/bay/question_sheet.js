// A question on the screen. The form comes once; the view follows every answer.

function make(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (value === true) node.setAttribute(name, "");
    else if (value !== false && value != null) node.setAttribute(name, value);
  }
  node.append(...children.filter((child) => child != null));
  return node;
}

// Keys typed here are ours: the notebook's own shortcuts must not see them.
function keepKeys(root) {
  root.setAttribute("data-lm-suppress-shortcuts", "true");
  root.addEventListener("keydown", (event) => {
    if (event.key !== "Tab" && !event.ctrlKey && !event.metaKey) event.stopPropagation();
  });
}

function choiceFields(form, name, onready) {
  const box = make("div", { role: "radiogroup", "aria-label": form.title });
  for (const option of form.options) {
    box.append(make("label", { class: "kit-tick" },
      make("input", { type: "radio", name, value: option.key, onchange: onready }),
      make("span", {}, option.text)));
  }
  return {
    node: box,
    raw: () => box.querySelector("input:checked")?.value ?? null,
    put: (raw) => box.querySelectorAll("input").forEach((input) => { input.checked = input.value === raw; }),
    lock: () => {},
  };
}

function numberFields(form, onready) {
  const input = make("input", {
    type: "text", inputmode: "decimal", size: "14", autocomplete: "off", oninput: onready,
    "aria-label": `Your answer in ${form.unit}`, placeholder: `like 1.5 ${form.unit}`,
  });
  return {
    node: make("div", { class: "kit-row" }, make("span", {}, "Your answer:"), input),
    raw: () => input.value.trim() || null,
    put: (raw) => { if (document.activeElement !== input) input.value = raw ?? ""; },
    lock: () => {},
    enter: (send) => input.addEventListener("keydown", (event) => { if (event.key === "Enter") send(); }),
  };
}

function tableFields(form, onready) {
  const selects = {};
  const rows = form.rows.map((row) => {
    selects[row.point] = form.columns.map((column) => make("select", {
      "aria-label": `${row.point}, ${column}`, onchange: onready,
    }, make("option", { value: "" }, "…"), ...form.words.map((word) => make("option", { value: word }, word))));
    return make("tr", {}, make("th", { scope: "row" }, row.point), make("td", {}, row.where),
      ...selects[row.point].map((select) => make("td", {}, select)));
  });
  const table = make("table", {},
    make("thead", {}, make("tr", {}, ...["Tip on", "Where it is", ...form.columns].map((text) => make("th", { scope: "col" }, text)))),
    make("tbody", {}, ...rows));
  return {
    node: make("div", { class: "kit-drawing" }, table),
    raw: () => {
      const said = {};
      for (const [point, cells] of Object.entries(selects)) {
        said[point] = cells.map((cell) => cell.value);
        if (said[point].includes("")) return null;
      }
      return said;
    },
    put: (raw) => {
      for (const [point, words] of Object.entries(raw ?? {})) {
        (selects[point] ?? []).forEach((select, place) => { select.value = words[place]; });
      }
    },
    lock: (truth) => {
      for (const [point, cells] of Object.entries(selects)) {
        cells.forEach((select, place) => {
          const said = select.value, shows = truth[point][place];
          const cell = select.parentElement;
          if (!cell || cell.dataset.locked) return;
          cell.dataset.locked = "yes";
          cell.replaceChildren(said === shows ? `${said} ✓` : make("span", {},
            make("span", { class: "kit-cell-off" }, said), ` → it shows: ${shows}`));
        });
      }
    },
  };
}

let sheets = 0;

function render({ model, el }) {
  const form = model.get("form");
  let number = model.get("view").number ?? 0;
  const root = make("div", { class: "kit-bay kit-question", role: "group", "aria-label": `Question ${form.question}: ${form.title}` });
  keepKeys(root);
  const send = make("button", { class: "kit-main", type: "button", disabled: true }, form.kind === "prediction" ? "Lock my prediction" : "Check my answer");
  const help = make("button", { type: "button" }, "Help me");
  const ready = () => { send.disabled = fields.raw() === null || model.get("view").locked; };
  const fields = form.kind === "choice" ? choiceFields(form, `kit-${sheets += 1}-${form.question}`, ready)
    : form.kind === "number" ? numberFields(form, ready) : tableFields(form, ready);
  const points = make("span", { class: "kit-soft" });
  const said = make("p", { class: "kit-saying", "aria-live": "polite" });
  const hint = make("p", { class: "kit-caution", hidden: true });
  const picture = make("details", {}, make("summary", {}, `Show the drawing: ${form.picture.stage}`));
  const drawing = make("div", { class: "kit-drawing" });
  drawing.innerHTML = form.svg;
  picture.append(drawing);
  root.append(make("h3", {}, `${form.question}  ${form.title}`), make("p", {}, form.prompt), picture, fields.node,
    make("div", { class: "kit-row" }, send, form.has_hint ? help : null, points), hint, said);
  el.append(root);

  const answer = () => {
    const raw = fields.raw();
    if (raw === null || send.disabled) return;
    send.disabled = true;
    model.send({ number: number += 1, raw });
  };
  send.addEventListener("click", answer);
  fields.enter?.(answer);
  help.addEventListener("click", () => model.send({ number: number += 1, hint: true }));

  const paint = (first) => {
    const view = model.get("view");
    number = Math.max(number, view.number ?? 0);
    if (first === true && view.raw != null) fields.put(view.raw);
    said.textContent = view.said;
    points.textContent = view.mark ? `${view.mark.points} of ${view.mark.of} points${view.tries > 1 ? `, answer ${view.tries}` : ""}` : "";
    hint.textContent = view.hint;
    hint.hidden = !view.hint;
    help.disabled = Boolean(view.hint);
    if (view.locked) {
      fields.put(view.raw);
      fields.lock(view.truth);
      send.disabled = true;
      send.textContent = "Locked";
    } else ready();
    root.dataset.number = view.number;
  };
  model.on("change:view", paint);
  paint(true);
  return () => model.off("change:view", paint);
}

export default { render };
