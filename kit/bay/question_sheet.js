// A question on the screen. The form comes once; the view follows every answer. Fittings stand in fittings.js.

let groups = 0;
const SMALLEST = 0.72;
// A line never ends between a figure and its unit, nor before the tick behind a word.
const STAYS = /(\d) (?=(?:[mkM]?[VAΩ]|W|Ah|mm²|min|ms|s|°C|%)(?![A-Za-z]))| (?=✓$)/g;
const unbroken = (text) => text.replace(STAYS, "$1\u00a0");

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
  const such = `${/^(tests|suspects)$/.test(form.unit) ? 2 : 1.5} ${form.unit}`;
  const input = make("input", {
    type: "text", inputmode: "decimal", size: "14", autocomplete: "off", oninput: onready,
    "aria-label": `Your answer, a number with its unit, such as ${such}`, placeholder: `like ${such}`,
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
    ...(/[²%]$|^(min|h|days|tests|suspects)$/.test(form.unit) ? [form.unit] : [form.unit, `m${form.unit}`]).map((unit) => key(unit, unit, (value) => `${value.replace(/\s*[^\d.,\s]*$/, "")} ${unit}`)),
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

function severalFields(form, onready) {
  const box = make("div", { role: "group", "aria-label": `${form.title}: tick all that apply` });
  for (const option of form.options) {
    box.append(make("label", { class: "kit-tick" },
      make("input", { type: "checkbox", value: option.key, onchange: onready }), make("span", {}, option.text)));
  }
  const ticked = () => [...box.querySelectorAll("input:checked")].map((input) => input.value);
  return {
    node: box,
    raw: () => (ticked().length ? ticked() : null),
    put: (raw) => box.querySelectorAll("input").forEach((input) => { input.checked = (raw ?? []).includes(input.value); }),
    lock: () => {},
  };
}

// Things to put in a row: press one to add it at the end, press it in the row to take it out again.
function orderedFields(form, onready) {
  let row = [];
  const texts = Object.fromEntries(form.options.map((option) => [option.key, option.text]));
  const chosen = make("ol", { class: "kit-ordered", "aria-label": "Your row, first to last" });
  const line = make("p", { class: "kit-soft" });
  const heap = make("div", { class: "kit-row", role: "group", "aria-label": "Press to add at the end of your row" });
  const paint = (focus) => {
    chosen.replaceChildren(...row.map((key) => make("li", {}, make("button", {
      type: "button", "data-key": key, "aria-label": `Take out: ${texts[key]}`,
      onclick: () => { row = row.filter((other) => other !== key); paint(key); onready(); },
    }, texts[key], make("span", { class: "kit-soft", "aria-hidden": "true" }, "×")))));
    chosen.hidden = !row.length;
    line.textContent = row.length ? "Your row, first to last:" : "Press what comes first, then the next. Your row stands here:";
    heap.replaceChildren(...form.options.filter((option) => !row.includes(option.key)).map((option) => make("button", {
      type: "button", "data-key": option.key, onclick: () => { row = [...row, option.key]; paint(option.key); onready(); },
    }, option.text)));
    const next = focus && (heap.querySelector("button") ?? chosen.querySelector("li:last-child button"));
    next?.focus();
  };
  paint();
  return {
    node: make("div", {}, line, chosen, heap),
    raw: () => (row.length > 1 ? row : null),
    put: (raw) => { row = Array.isArray(raw) ? raw.filter((key) => key in texts) : []; paint(); },
    lock: () => {},
  };
}

// A table: words to pick in every cell, or a figure to type.
function tableFields(form, onready) {
  const cells = {};
  const what = form.words ? "Tip on" : "Red lead on";
  const head = form.clip ? "Tip on" : form.black ? "Red on" : "Point";
  const field = (row, column) => (form.words
    ? segments(form.words, `${row.point}, ${column}`, onready)
    : make("span", {}, make("input", {
      type: "text", inputmode: "decimal", size: "7", autocomplete: "off", oninput: onready, class: "kit-figure",
      "aria-label": `${what} ${row.point}, ${column}, in ${form.unit}`, placeholder: form.unit,
    })));
  const rows = form.rows.map((row) => {
    cells[row.point] = form.columns.map((column) => field(row, column));
    return make("tr", {}, make("th", { scope: "row" }, row.point, make("span", { class: "kit-where" }, row.where)),
      ...cells[row.point].map((cell, place) => make("td", { "data-title": form.columns[place] }, cell)));
  });
  const table = make("table", { class: "kit-prediction" },
    make("thead", {}, make("tr", {}, ...[head, ...form.columns].map((text) => make("th", { scope: "col" }, text)))),
    make("tbody", {}, ...rows));
  const said = (cell) => (form.words ? cell.querySelector("input:checked")?.value : cell.querySelector("input")?.value.trim()) ?? "";
  return {
    node: make("div", { class: "kit-scroll-across" }, table),
    raw: () => {
      const words = Object.fromEntries(Object.entries(cells).map(([point, row]) => [point, row.map(said)]));
      return Object.values(words).some((row) => row.includes("")) ? null : words;
    },
    put: (raw) => {
      for (const [point, words] of Object.entries(raw ?? {})) {
        (cells[point] ?? []).forEach((cell, place) => {
          for (const input of cell.querySelectorAll("input")) {
            if (form.words) input.checked = input.value === words[place];
            else input.value = words[place];
          }
        });
      }
    },
    lock: (truth, right) => {
      for (const [point, row] of Object.entries(cells)) {
        row.forEach((cell, place) => {
          const word = said(cell), shows = truth[point][place];
          cell.parentElement?.replaceChildren(right[point][place] ? unbroken(`${word} ✓`) : make("span", {},
            "you said ", make("span", { class: "kit-cell-off" }, word), form.kind === "standing" ? ", it is " : ", it shows ", make("b", {}, shows)));
        });
      }
    },
  };
}

// A drawing to mark up: something to say of every line or number, by keys where there are few things to say, else from
// a list.
function markUpFields(form, onready) {
  const cells = {};
  const list = (row) => make("select", { class: "kit-said-of", "aria-label": row.text, onchange: onready },
    make("option", { value: "" }, "choose …"), ...row.options.map((option) => make("option", { value: option.key }, option.text)));
  const rows = form.rows.map((row) => {
    const few = row.options.length <= 3 && row.options.every((option) => option.text.length < 12);
    cells[row.key] = few ? segments(row.options.map((option) => option.key), `${row.key}: ${row.text}`, onready) : list(row);
    const letter = /^[A-Z]$/.test(row.key) ? make("b", {}, `${row.key}  `) : null;
    return make("tr", {}, make("th", { scope: "row" }, letter, make("span", {}, row.text)), make("td", {}, cells[row.key]));
  });
  const value = (cell) => (cell.querySelector("input:checked") ?? (cell.tagName === "SELECT" ? cell : null))?.value ?? "";
  const text = (key) => form.rows.find((row) => row.key === key).options.find((one) => one.key === value(cells[key]))?.text ?? "";
  return {
    node: make("table", { class: "kit-mark-up" }, make("tbody", {}, ...rows)),
    raw: () => {
      const words = Object.fromEntries(Object.entries(cells).map(([key, cell]) => [key, value(cell)]));
      return Object.values(words).includes("") ? null : words;
    },
    put: (raw) => {
      for (const row of form.rows) {
        const given = raw?.[row.key] ?? "";
        const key = row.options.find((one) => one.key === given || one.text === given)?.key ?? "";
        if (cells[row.key].tagName === "SELECT") cells[row.key].value = key;
        else cells[row.key].querySelectorAll("input").forEach((input) => { input.checked = input.value === key; });
      }
    },
    lock: (truth, right) => {
      for (const [key, cell] of Object.entries(cells)) {
        const word = text(key).replace(/\.$/, "");
        cell.replaceWith(right[key][0] ? unbroken(`${word} ✓`) : make("span", {}, "you said ",
          make("span", { class: "kit-cell-off" }, word), ", it is ", make("b", {}, truth[key][0])));
      }
    },
  };
}

// A test to choose, and for each outcome the suspects it would leave.
function nextTestFields(form, onready) {
  const tip = segments(form.tips, "Tip on", onready);
  const left = {};
  const groups = [["lit", "If it lights, I still suspect:"], ["out", "If it stays out, I still suspect:"]].map(([outcome, words]) => {
    left[outcome] = severalFields({ title: words, options: form.options }, onready);
    return make("div", { class: "kit-outcome" }, make("p", {}, words), left[outcome].node);
  });
  return {
    node: make("div", {}, make("div", { class: "kit-row" }, make("span", {}, `Clip on ${form.clip}, tip on:`), tip),
      make("div", { class: "kit-outcomes" }, ...groups)),
    raw: () => {
      const at = tip.querySelector("input:checked")?.value;
      const [lit, out] = [left.lit.raw() ?? [], left.out.raw() ?? []];
      return at && (lit.length || out.length) ? { tip: at, lit, out } : null;
    },
    put: (raw) => {
      tip.querySelectorAll("input").forEach((input) => { input.checked = input.value === raw?.tip; });
      left.lit.put(raw?.lit);
      left.out.put(raw?.out);
    },
    lock: () => {},
  };
}

function explainFields(form, onready) {
  const area = make("textarea", { rows: "4", "aria-label": "Your own words", oninput: onready, class: "kit-words" });
  return {
    node: area,
    raw: () => (area.value.trim().length >= 20 ? area.value.trim() : null),
    put: (raw) => { if (document.activeElement !== area) area.value = raw ?? ""; },
    lock: () => { area.readOnly = true; },
  };
}

const FIELDS = {
  choice: choiceFields, several: severalFields, number: numberFields, prediction: tableFields, volts: tableFields,
  standing: tableFields, ordered: orderedFields, "next test": nextTestFields, explain: explainFields,
  "mark up": markUpFields,
};
const SEND = {
  prediction: "Lock my prediction", volts: "Lock my prediction", standing: "Lock my table", explain: "Keep my answer",
  "mark up": "Lock what I say",
};

// Where a long reason is cut into lines: each thing an instructor looks for, each line of a drawing, tick and outcome.
const APART = {
  "next test": / (?=If the lamp is )/g,
  several: / (?=You ticked “|Not ticked, |\d+ of yours )/g,
  explain: / (?=\(\d\) |Compare with one good answer:)/g,
  "mark up": / (?=[A-Z], you said |You called |\d+ more (?:of the lines|to look at)|What is really so:)/g,
};

// Figures that a question tells, laid out: the head first, names of rows in the first column.
function toldTable(rows) {
  if (!rows?.length) return "";
  const [head, ...lines] = rows;
  return make("div", { class: "kit-scroll-across" }, make("table", { class: "kit-told-table" },
    make("thead", {}, make("tr", {}, ...head.map((text) => make("th", { scope: "col" }, text)))),
    make("tbody", {}, ...lines.map(([name, ...cells]) => make("tr", name ? {} : { class: "kit-goes-on" },
      make("th", { scope: "row" }, name), ...cells.map((text) => make("td", {}, unbroken(text))))))));
}

// The form may be exchanged for that of a fresh variant; then everything is built again in the same place.
function render({ model, el }) {
  const root = make("div", { class: "kit-bay kit-question", role: "group", tabindex: -1 });
  keepKeys(root);
  el.append(root);
  const heard = make("p", { class: "kit-heard", role: "status" }), [link, waits] = linkLine(heard);
  const post = new Post(model, waits);
  let paint = () => {}, ink = () => {};

  const build = () => {
    const form = model.get("form");
    root.setAttribute("aria-label", `Question ${form.question}: ${form.title}`);
    const send = make("button", { class: "kit-main", type: "button" }, SEND[form.kind] ?? "Check my answer");
    const help = make("button", { type: "button" }, "Help me");
    const fresh = make("button", { type: "button", hidden: true }, "Another one like it");
    let fields;
    const ready = () => off(send, fields.raw() === null || model.get("view").locked);
    fields = FIELDS[form.kind](form, ready);
    const points = make("span", { class: "kit-soft" });
    const said = make("p", { class: "kit-saying", role: "status" });
    const hints = make("ol", { class: "kit-caution kit-hints", hidden: true, "aria-label": "Help so far" });
    const picture = make("details", {}, make("summary", {}, `Show the drawing: ${form.picture.stage}`));
    // A drawing that is itself what the question is about stands open.
    if (form.kind === "mark up" || form.picture.look) picture.open = true;
    const drawing = make("div", { class: "kit-drawing", tabindex: 0, role: "region", "aria-label": `The drawing: ${form.picture.stage}` });
    ink = () => {
      drawing.innerHTML = inked(form.svg, form.inks);
      // On a narrow page it scrolls before its letters get too small to read (kit/draw/picture.py).
      const svg = drawing.querySelector("svg");
      if (svg) svg.style.minWidth = `${SMALLEST * svg.viewBox.baseVal.width}px`;
    };
    ink();
    // Half a drawing looks like a whole one to whoever does not know that it slides.
    const wider = make("p", { class: "kit-soft", hidden: true }, "It goes on to the right: slide it.");
    new ResizeObserver(() => { wider.hidden = drawing.scrollWidth <= drawing.clientWidth + 1; }).observe(drawing);
    picture.append(wider, drawing);
    root.replaceChildren(make("h3", {}, `${form.question}  ${form.title}${form.edition ? " (for practice)" : ""}`),
      heard, link, make("p", { class: "kit-prompt" }, unbroken(form.prompt)), toldTable(form.table), ...(form.drawing ? [picture] : []), fields.node,
      make("div", { class: "kit-row" }, send, form.has_hint ? help : null, fresh, points), hints, said);

    const answer = () => {
      const raw = fields.raw();
      if (raw === null || isOff(send)) return;
      off(send, true);
      post.send({ raw });
    };
    send.addEventListener("click", answer);
    fields.enter?.(answer);
    help.addEventListener("click", () => { if (!isOff(help)) post.send({ hint: true }); });
    fresh.addEventListener("click", () => post.send({ fresh: true }));

    let locked = false;
    paint = (first) => {
      const view = model.get("view");
      post.answered(view);
      if (first === true && view.raw != null) fields.put(view.raw);
      // What is said of several things begins a line for each.
      said.textContent = unbroken(APART[form.kind] ? view.said.replace(APART[form.kind], "\n") : view.said);
      points.textContent = !view.mark ? "" : !view.mark.of ? "kept for your instructor"
        : `${view.mark.points} of ${view.mark.of} points${view.tries > 1 ? `, answer ${view.tries}` : ""}`;
      hints.replaceChildren(...view.hints.map((text) => make("li", {}, unbroken(text))));
      hints.hidden = !view.hints.length;
      off(help, !view.more_hints);
      help.textContent = !view.hints.length ? "Help me" : view.more_hints ? "More help" : "No more help";
      help.classList.toggle("kit-offered", view.offers_help);
      fresh.hidden = !view.fresh;
      // Green is for a right answer; what nobody has read yet is only kept.
      root.dataset.mark = !view.mark ? "" : !view.mark.of ? "kept" : view.mark.points === view.mark.of ? "whole" : "part";
      ready();
      if (view.locked && !locked) {
        locked = true;
        fields.put(view.raw);
        fields.lock(view.truth, view.right);
        send.textContent = form.kind === "explain" ? "Handed in" : "Locked";
      }
      root.dataset.number = view.number;
    };
    paint(true);
  };
  const repaint = () => paint();
  model.on("change:view", repaint);
  model.on("change:form", build);
  build();
  const untheme = onTheme(() => ink());
  return () => {
    model.off("change:view", repaint);
    model.off("change:form", build);
    untheme();
    post.close();
  };
}

export default { render };
