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

// A button switched off keeps the focus it has; one really disabled would drop it, and keys would reach the notebook.
function off(node, is) {
  node.setAttribute("aria-disabled", String(Boolean(is)));
}

let groups = 0;

// One of a few words: native radio buttons, so that arrows work, looking like a row of keys.
function segments(words, label, onready) {
  const name = `kit-group-${groups += 1}`;
  return make("span", { class: "kit-segments", role: "radiogroup", "aria-label": label }, ...words.map((word) =>
    make("label", {}, make("input", { type: "radio", name, value: word, onchange: onready }), make("span", {}, word))));
}

function choiceFields(form, onready) {
  const name = `kit-group-${groups += 1}`;
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

// A field to type in, and keys to click for whoever has only a mouse or a screen to touch.
function numberFields(form, onready) {
  const input = make("input", {
    type: "text", inputmode: "decimal", size: "14", autocomplete: "off", oninput: onready,
    "aria-label": `Your answer, a number with its unit, such as 1.5 ${form.unit}`, placeholder: `like 1.5 ${form.unit}`,
  });
  const press = (change) => {
    input.value = change(input.value);
    onready();
  };
  const key = (face, name, change) => make("button", { type: "button", "aria-label": name, onclick: () => press(change) }, face);
  const adds = (text) => (value) => value + text;
  const keys = [
    ..."1234567890".split("").map((digit) => key(digit, digit, adds(digit))),
    key(".", "point", adds(".")), key("−", "minus or plus", (value) => (/^[-−]/.test(value) ? value.slice(1) : `-${value}`)),
    ...[form.unit, `m${form.unit}`].map((unit) => key(unit, unit, (value) => `${value.replace(/\s*[^\d.,\s]*$/, "")} ${unit}`)),
    key("⌫", "take the last one back", (value) => value.slice(0, -1).trimEnd()),
  ];
  return {
    node: make("div", {}, make("label", { class: "kit-row" }, make("span", {}, "Your answer:"), input),
      make("div", { class: "kit-row kit-keys", role: "group", "aria-label": "Keys to click" }, ...keys)),
    raw: () => input.value.trim() || null,
    put: (raw) => { if (document.activeElement !== input) input.value = raw ?? ""; },
    lock: () => {},
    enter: (send) => input.addEventListener("keydown", (event) => { if (event.key === "Enter") send(); }),
  };
}

function tableFields(form, onready) {
  const cells = {};
  const rows = form.rows.map((row) => {
    cells[row.point] = form.columns.map((column) => segments(form.words, `Tip on ${row.point}, ${column}`, onready));
    return make("tr", {}, make("th", { scope: "row" }, row.point, make("span", { class: "kit-where" }, row.where)),
      ...cells[row.point].map((cell, place) => make("td", { "data-title": form.columns[place] }, cell)));
  });
  const table = make("table", { class: "kit-prediction" },
    make("thead", {}, make("tr", {}, ...["Tip on", ...form.columns].map((text) => make("th", { scope: "col" }, text)))),
    make("tbody", {}, ...rows));
  const said = (cell) => cell.querySelector("input:checked")?.value ?? "";
  return {
    node: make("div", { class: "kit-scroll-across" }, table),
    raw: () => {
      const words = Object.fromEntries(Object.entries(cells).map(([point, row]) => [point, row.map(said)]));
      return Object.values(words).some((row) => row.includes("")) ? null : words;
    },
    put: (raw) => {
      for (const [point, words] of Object.entries(raw ?? {})) {
        (cells[point] ?? []).forEach((cell, place) => {
          for (const input of cell.querySelectorAll("input")) input.checked = input.value === words[place];
        });
      }
    },
    lock: (truth) => {
      for (const [point, row] of Object.entries(cells)) {
        row.forEach((cell, place) => {
          const word = said(cell), shows = truth[point][place];
          cell.parentElement?.replaceChildren(word === shows ? `${word} ✓` : make("span", {},
            "you said ", make("span", { class: "kit-cell-off" }, word), ", it shows ", make("b", {}, shows)));
        });
      }
    },
  };
}

function render({ model, el }) {
  const form = model.get("form");
  let number = model.get("view").number ?? 0;
  const root = make("div", { class: "kit-bay kit-question", role: "group", tabindex: -1, "aria-label": `Question ${form.question}: ${form.title}` });
  keepKeys(root);
  const send = make("button", { class: "kit-main", type: "button" }, form.kind === "prediction" ? "Lock my prediction" : "Check my answer");
  const help = make("button", { type: "button" }, "Help me");
  const ready = () => off(send, fields.raw() === null || model.get("view").locked);
  const fields = form.kind === "choice" ? choiceFields(form, ready)
    : form.kind === "number" ? numberFields(form, ready) : tableFields(form, ready);
  const points = make("span", { class: "kit-soft" });
  const said = make("p", { class: "kit-saying", role: "status" });
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
    if (raw === null || send.getAttribute("aria-disabled") === "true") return;
    off(send, true);
    model.send({ number: number += 1, raw });
  };
  send.addEventListener("click", answer);
  fields.enter?.(answer);
  help.addEventListener("click", () => {
    if (help.getAttribute("aria-disabled") !== "true") model.send({ number: number += 1, hint: true });
  });

  let locked = false;
  const paint = (first) => {
    const view = model.get("view");
    number = Math.max(number, view.number ?? 0);
    if (first === true && view.raw != null) fields.put(view.raw);
    said.textContent = view.said;
    points.textContent = view.mark ? `${view.mark.points} of ${view.mark.of} points${view.tries > 1 ? `, answer ${view.tries}` : ""}` : "";
    hint.textContent = view.hint;
    hint.hidden = !view.hint;
    off(help, view.hint);
    root.dataset.mark = view.mark ? (view.mark.points === view.mark.of ? "whole" : "part") : "";
    ready();
    if (view.locked && !locked) {
      locked = true;
      fields.put(view.raw);
      fields.lock(view.truth);
      send.textContent = "Locked";
    }
    root.dataset.number = view.number;
  };
  model.on("change:view", paint);
  paint(true);
  return () => model.off("change:view", paint);
}

export default { render };
