// What every widget of the kit is built with: nodes, buttons, keys, light and dark, and acts out that none is lost.
// Python puts this in front of a widget's own script (scripts.py), so no build step is needed.

// --- nodes

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

function draw(tag, attributes, ...children) {
  const node = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...children);
  return node;
}

// A button switched off keeps the focus it has; one really disabled would drop it, and keys would reach the notebook.
function off(node, is) {
  node.setAttribute("aria-disabled", String(Boolean(is)));
}

function isOff(node) {
  return node.getAttribute("aria-disabled") === "true";
}

function pressed(node, is) {
  node.setAttribute("aria-pressed", String(Boolean(is)));
}

function button(text, onclick, attributes = {}) {
  const node = make("button", { type: "button", ...attributes }, text);
  node.addEventListener("click", () => { if (!isOff(node)) onclick(node); });
  return node;
}

const STEPS = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowDown: [0, 1], ArrowUp: [0, -1] };

// One stop for the tab key, arrows inside: a row of buttons.
function toolbar(label, nodes) {
  const bar = make("div", { class: "kit-row kit-tabs", role: "toolbar", "aria-label": label }, ...nodes);
  const stop = (chosen) => { for (const node of nodes) node.setAttribute("tabindex", node === chosen ? 0 : -1); };
  bar.addEventListener("focusin", (event) => stop(event.target));
  bar.addEventListener("keydown", (event) => {
    const step = STEPS[event.key];
    if (!step) return;
    event.preventDefault();
    nodes[(nodes.indexOf(document.activeElement) + step[0] + step[1] + nodes.length) % nodes.length].focus();
  });
  stop(nodes[0]);
  return bar;
}

// Keys typed inside are ours: the notebook's own shortcuts must not see them.
function keepKeys(root) {
  root.setAttribute("data-lm-suppress-shortcuts", "true");
  root.addEventListener("keydown", (event) => {
    if (event.key !== "Tab" && !event.ctrlKey && !event.metaKey) event.stopPropagation();
  });
}

// --- light and dark

function isDark() {
  return document.body.dataset.jpThemeLight === "false";
}

// A drawing in the colours of the page it stands on; `inks` has the dark colour of each light one.
function inked(svg, inks) {
  return isDark() ? svg.replaceAll(/"(#[0-9A-Fa-f]{6})"/g, (all, ink) => `"${inks[ink] ?? ink}"`) : svg;
}

// Calls when the page turns from light to dark or back; returns what ends it.
function onTheme(call) {
  const watch = new MutationObserver(call);
  watch.observe(document.body, { attributes: true, attributeFilter: ["data-jp-theme-light"] });
  return () => watch.disconnect();
}

// --- acts out

const ASK_AGAIN_MS = 1500, SAY_SO_MS = 700, GIVE_UP_MS = 8000;
const NO_ANSWER = "No answer from the workshop. What was done before is kept. Press the button at the top of this page, wait for Ready, and go on: answers and job cards stand where you left them, practice starts afresh.";

// Every act has a number of this page's own and is kept until a view answers it. What finds no answer is sent again;
// Python does none twice.
class Post {
  constructor(model, say) {
    this.model = model;
    this.say = say;
    this.page = Math.random().toString(36).slice(2, 10);
    this.number = 0;
    this.kept = [];
  }

  send(fields) {
    this.number += 1;
    this.kept.push({ message: { number: this.number, page: this.page, ...fields }, since: performance.now(), asked: performance.now() });
    this.out(this.kept.at(-1));
    this.watch();
  }

  out(item) {
    item.asked = performance.now();
    // A kernel that has gone takes no messages; the watch says so.
    try { this.model.send(item.message); } catch { /* said by the watch */ }
  }

  answered(view) {
    const done = new Set(view.answered[this.page] ?? []);
    this.kept = this.kept.filter((item) => !done.has(item.message.number));
    if (!this.kept.length) this.say("");
  }

  watch() {
    clearTimeout(this.timer);
    if (!this.kept.length) return;
    const now = performance.now(), waited = now - this.kept[0].since;
    if (waited > GIVE_UP_MS) this.say(NO_ANSWER, true);
    else if (waited > SAY_SO_MS) this.say("Working …");
    for (const item of this.kept) if (now - item.asked > ASK_AGAIN_MS) this.out(item);
    if (waited < 20 * GIVE_UP_MS) this.timer = setTimeout(() => this.watch(), 400);
  }

  close() { clearTimeout(this.timer); }
}

// The line where a page says that it waits, or what to do when nothing comes.
function linkLine(status) {
  const node = make("p", { class: "kit-link", hidden: true });
  const say = (text, bad = false) => {
    node.textContent = text;
    node.hidden = !text;
    node.classList.toggle("kit-caution", bad);
    if (bad && status.textContent !== text) status.textContent = text;
  };
  return [node, say];
}

