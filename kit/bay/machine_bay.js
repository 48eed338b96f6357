// The bay on the screen. `setting` comes once, `view` follows every act; acts go out as messages, so none is lost.

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

function button(text, onclick, attributes = {}) {
  const node = make("button", { type: "button", ...attributes }, text);
  node.addEventListener("click", () => { if (!isOff(node)) onclick(node); });
  return node;
}

const BULB = { out: ["#ffffff", 0], glow: ["#d98c4a", 0.45], dim: ["#e6b34d", 0.75], bright: ["#ffe26b", 1] };

class Bay {
  constructor(model, el) {
    this.model = model;
    this.setting = model.get("setting");
    this.number = model.get("view").number ?? 0;
    this.stage = this.setting.stage;
    this.instrument = "lamp";
    this.leads = { lamp: [null, null], volts: [null, null] };
    this.lead = 0;
    this.part = null;
    this.ticked = new Set();
    // Focusable, so that a click on empty ground inside stays inside, and with it the keys pressed next.
    this.root = make("div", { class: "kit-bay", role: "group", tabindex: -1, "aria-label": `Bay: ${this.setting.title}`, "data-lm-suppress-shortcuts": "true" });
    this.root.addEventListener("keydown", (event) => {
      if (event.key !== "Tab" && !event.ctrlKey && !event.metaKey) event.stopPropagation();
    });
    el.append(this.root);
    this.build();
    this.paint = this.paint.bind(this);
    model.on("change:view", this.paint);
    this.takeUp();
    this.paint();
  }

  get view() { return this.model.get("view"); }

  send(act, fields = {}) {
    this.number += 1;
    this.model.send({ number: this.number, act, ...fields });
  }

  // Leads as they stand in the view: after a reload the bay is as it was.
  takeUp() {
    const probe = this.view.probe;
    if (probe) {
      this.instrument = probe.instrument;
      this.leads[probe.instrument] = [...probe.leads];
    }
    for (const finding of this.view.findings) this.chosen?.[finding.role]?.put(finding);
  }

  build() {
    const { setting } = this;
    this.said = make("p", { class: "kit-said" });
    // The one thing a screen reader is told after an act.
    this.status = make("p", { class: "kit-heard", role: "status" });
    this.top = make("h3", { tabindex: -1 }, setting.card ? `Job card ${setting.card.id}: ${setting.title}` : setting.title);
    this.root.append(this.top, this.status);
    if (setting.card) this.root.append(this.complaint(), this.preparing());
    this.root.append(this.drawingPart(), this.workPart());
    this.root.append(this.sheetPart());
    if (setting.card) this.root.append(this.findingPart());
    this.reviewed = make("section", {});
    this.root.append(this.reviewed);
  }

  complaint() {
    const { card } = this.setting;
    const answers = Object.entries(card.answers).map(([question, answer]) =>
      make("details", {}, make("summary", {}, question), make("p", {}, `“${answer}”`)));
    return make("section", { class: "kit-panel" }, make("h4", {}, "1  The owner says"),
      make("p", { class: "kit-complaint" }, `“${card.complaint}”`), ...answers);
  }

  preparing() {
    this.ticks = {};
    const labels = Object.entries(this.setting.card.preparations).map(([step, text]) => {
      const box = make("input", { type: "checkbox", onclick: (event) => {
        if (isOff(box)) event.preventDefault();
        else this.send("prepare", { step });
      } });
      this.ticks[step] = box;
      return make("label", { class: "kit-tick" }, box, make("span", {}, text));
    });
    return make("section", { class: "kit-panel" }, make("h4", {}, "2  Prepare safely, then prove the instrument on the battery posts"), ...labels);
  }

  drawingPart() {
    this.tabs = {};
    const tabs = this.setting.stages.map((stage) => {
      const tab = button(stage.id, () => this.show(stage.id), { "aria-pressed": "false", title: stage.about });
      this.tabs[stage.id] = tab;
      return tab;
    });
    this.about = make("p", { class: "kit-soft kit-about" });
    this.drawing = make("div", { class: "kit-drawing" });
    return make("section", {}, make("div", { class: "kit-row", role: "toolbar", "aria-label": "Stages" }, ...tabs), this.about, this.drawing);
  }

  workPart() {
    const columns = make("div", { class: "kit-columns" }, this.controlsPanel(), this.instrumentPanel(), this.partPanel());
    return make("section", {}, this.said, columns);
  }

  controlsPanel() {
    this.switches = {};
    const rows = this.setting.controls.map((control) => {
      this.switches[control.id] = {};
      const buttons = control.positions.map((position) => {
        const lever = button(position, () => this.send("operate", { control: control.id, position }), { "aria-pressed": "false" });
        this.switches[control.id][position] = lever;
        return lever;
      });
      return make("div", { class: "kit-control" }, make("span", {}, control.title),
        make("span", { class: "kit-group", role: "group", "aria-label": control.title }, ...buttons));
    });
    this.noticed = make("ul", { class: "kit-noticed", "aria-label": "What you notice" });
    return make("div", { class: "kit-panel" }, make("h4", {}, "Operate"), ...rows, make("h4", {}, "What you notice"), this.noticed);
  }

  instrumentPanel() {
    this.tools = {};
    const tools = Object.entries(this.setting.instruments).map(([name, words]) => {
      this.tools[name] = button(words[0], () => this.take(name), { "aria-pressed": "false" });
      return this.tools[name];
    });
    this.leadButtons = [0, 1].map((which) => button("", () => { this.lead = which; this.paintLeads(); }, { "aria-pressed": "false", class: "kit-lead" }));
    this.bulb = draw("svg", { viewBox: "0 0 40 40", class: "kit-bulb", "aria-hidden": "true" });
    this.glass = draw("circle", { cx: 20, cy: 20, r: 15, fill: "#fff", stroke: "currentColor", "stroke-width": 2 });
    this.bulb.append(this.glass, draw("path", { d: "M12,24 L16,16 L20,24 L24,16 L28,24", fill: "none", stroke: "#4a5159", "stroke-width": 1.5 }));
    this.shows = make("span", { class: "kit-shows" });
    this.pointsAt = make("p", { class: "kit-soft kit-places" });
    return make("div", { class: "kit-panel" }, make("h4", {}, "Measure"),
      make("div", { class: "kit-row" }, ...tools),
      make("p", { class: "kit-soft" }, "Choose a lead, then click a test point: a ring on the drawing."),
      make("div", { class: "kit-row" }, ...this.leadButtons),
      make("div", { class: "kit-reading" }, this.bulb, this.shows), this.pointsAt);
  }

  partPanel() {
    this.partChoice = make("select", { "aria-label": "Part", onchange: () => this.pick(this.partChoice.value) });
    this.partActs = make("div", { class: "kit-row" });
    this.partWords = make("p", { class: "kit-soft" });
    return make("div", { class: "kit-panel" }, make("h4", {}, "Look, or mend"),
      this.partChoice, this.partWords, this.partActs);
  }

  sheetPart() {
    this.lines = make("tbody");
    this.spent = make("span", { class: "kit-soft" });
    this.nothingYet = make("p", { class: "kit-soft" }, "Nothing yet. What you do and what it shows is written here.");
    return make("section", { class: "kit-sheet" }, make("div", { class: "kit-row" }, make("h4", {}, "Test sheet"), this.spent), this.nothingYet,
      make("div", { class: "kit-scroll" }, make("table", {}, make("thead", {}, make("tr", {},
        ...[...(this.setting.card ? ["Proves it"] : []), "Done", "Shown", "Condition"].map((text) => make("th", { scope: "col" }, text)))), this.lines)));
  }

  findingPart() {
    this.chosen = {};
    const form = (role, title, word) => {
      const part = make("select", { "aria-label": `${title} part` });
      const fault = make("select", { "aria-label": `${title} fault` });
      part.append(make("option", { value: "" }, "part …"), ...Object.entries(this.setting.parts).filter(([, about]) => about.faults.length)
        .map(([id, about]) => make("option", { value: id }, `${id}  ${about.title}`)));
      const faults = () => {
        fault.replaceChildren(make("option", { value: "" }, "what is wrong with it …"),
          ...(this.setting.parts[part.value]?.faults ?? []).map((text) => make("option", { value: text }, text)));
        ready();
      };
      const state = button(word, () => this.send("find", {
        role, part: part.value, fault: fault.value, readings: [...this.ticked].sort((one, other) => one - other),
      }));
      const ready = () => off(state, !part.value || !fault.value || this.view.over);
      part.addEventListener("change", faults);
      fault.addEventListener("change", ready);
      faults();
      this.chosen[role] = { ready, said: make("span", { class: "kit-stated" }),
        put: (finding) => { part.value = finding.part; faults(); fault.value = finding.fault; ready(); } };
      return make("div", { class: "kit-row kit-finding" }, make("span", {}, title), part, fault, state, this.chosen[role].said);
    };
    this.verify = button("Verified: the owner's complaint is gone", () => this.send("verify"));
    this.handBack = button("Hand the machine back", () => {
      off(this.handBack, true);
      this.waiting.textContent = "Going through your work …";
      this.send("hand back");
    }, { class: "kit-main" });
    this.waiting = make("span", { class: "kit-soft", role: "status" });
    return make("section", { class: "kit-panel" }, make("h4", {}, "3  Your finding"),
      make("p", { class: "kit-soft" }, "Tick the lines of the test sheet that prove it, then state it. Mend only what you have proved; a fuse is a symptom."),
      form("fault", "What is wrong:", "State the fault"), form("cause", "What made it happen:", "State the cause"),
      make("h4", {}, "4  After the repair: try the complaint again, and the start interlock"),
      make("div", { class: "kit-row" }, this.verify, this.handBack, this.waiting));
  }

  // --- acting

  show(stage) {
    this.stage = stage;
    this.paint();
  }

  take(name) {
    this.instrument = name;
    this.lead = this.leads[name][0] === null ? 0 : 1;
    this.paintLeads();
    const [first, second] = this.leads[name];
    if (first !== null && second !== null) this.send("probe", { instrument: name, leads: [first, second] });
  }

  put(point) {
    const leads = this.leads[this.instrument];
    leads[this.lead] = point;
    if (this.lead === 0 && leads[1] === null) this.lead = 1;
    else if (this.lead === 1 && leads[0] === null) this.lead = 0;
    else this.lead = 1;
    this.paintLeads();
    if (leads[0] !== null && leads[1] !== null) this.send("probe", { instrument: this.instrument, leads: [...leads] });
  }

  pick(part) {
    this.part = part;
    this.partChoice.value = part;
    this.paintPart();
  }

  // --- painting

  paint() {
    const { view } = this;
    this.number = Math.max(this.number, view.number);
    this.startOver();
    this.paintStage();
    for (const [control, buttons] of Object.entries(this.switches)) {
      for (const [position, button] of Object.entries(buttons)) {
        button.setAttribute("aria-pressed", String(view.positions[control] === position));
        off(button, view.over);
      }
    }
    this.noticed.replaceChildren(...view.noticed.map((text) => make("li", {}, text)));
    this.paintSaid();
    this.paintLeads();
    this.paintPart();
    this.paintSheet();
    if (this.setting.card) {
      for (const [step, box] of Object.entries(this.ticks)) {
        box.checked = view.prepared.includes(step);
        off(box, box.checked || view.over);
      }
      for (const role of ["fault", "cause"]) {
        const last = view.findings.filter((finding) => finding.role === role).at(-1);
        this.chosen[role].said.textContent = last ? `Stated: ${last.part} ${last.fault}.` : "";
        this.chosen[role].ready();
      }
      off(this.verify, view.over || view.verified);
      off(this.handBack, view.over);
    }
    this.paintReview();
    this.root.dataset.number = view.number;
  }

  // The job begun again: no lead, tick or choice is left from the last time.
  startOver() {
    if (!this.wasOver || this.view.over) {
      this.wasOver = this.view.over;
      return;
    }
    this.wasOver = false;
    this.leads = { lamp: [null, null], volts: [null, null] };
    this.lead = 0;
    this.ticked.clear();
    this.waiting.textContent = "";
    for (const role of Object.values(this.chosen)) role.put({ part: "", fault: "" });
    this.top.focus();
    this.top.scrollIntoView({ block: "start" });
  }

  paintSaid() {
    const { view, setting } = this;
    const { probe } = view;
    const reading = probe?.reading ? `${setting.instruments[probe.instrument][0]}: ${probe.reading}.` : "";
    const bare = probe && view.said === probe.reading;
    this.said.textContent = bare ? reading : view.said || "At rest. Nothing done yet.";
    if (this.heard !== undefined && this.heard !== view.number) this.status.textContent = bare ? reading : `${view.said} ${reading}`;
    this.heard = view.number;
  }

  paintStage() {
    const { view, setting } = this;
    for (const [id, tab] of Object.entries(this.tabs)) tab.setAttribute("aria-pressed", String(id === this.stage));
    this.about.textContent = setting.stages.find((stage) => stage.id === this.stage).about;
    if (this.drawn !== this.stage) {
      const picture = setting.pictures[this.stage];
      this.drawing.innerHTML = picture.svg;
      this.svg = this.drawing.querySelector("svg");
      this.svg.setAttribute("role", "group");
      // Never smaller than drawn: on a narrow page it scrolls, and a test point stays large enough to hit.
      Object.assign(this.svg.style, { maxWidth: "none", height: "" });
      this.addTargets(picture);
      this.drawn = this.stage;
      const inStage = Object.entries(setting.parts).filter(([, about]) => about.stage === this.stage);
      this.partChoice.replaceChildren(make("option", { value: "" }, "choose a part …"),
        ...inStage.map(([id, about]) => make("option", { value: id }, `${id}  ${about.title}`)));
      this.part = inStage.some(([id]) => id === this.part) ? this.part : null;
      this.partChoice.value = this.part ?? "";
    }
    for (const group of this.svg.querySelectorAll("[data-when]")) {
      const part = group.closest("[data-part]").dataset.part;
      const fuse = setting.parts[part].fuse;
      const when = fuse ? (view.out.includes(part) ? "out" : view.blown.includes(part) ? "blown" : "sound")
        : view.closed.includes(part) ? "closed" : "open";
      if (group.dataset.when === when) group.removeAttribute("display");
      else group.setAttribute("display", "none");
    }
    for (const line of this.svg.querySelectorAll("[data-node]")) {
      const look = setting.looks[view.nodes[line.dataset.node] ?? "plain"];
      line.setAttribute("stroke", look.colour);
      line.setAttribute("stroke-width", look.width + Number(line.dataset.extra ?? 0));
      line.setAttribute("stroke-dasharray", look.dash || "none");
      line.setAttribute("stroke-linecap", look.dash ? "butt" : "round");
    }
    for (const ring of this.svg.querySelectorAll("[data-point]")) {
      ring.setAttribute("stroke", setting.looks[view.nodes[ring.dataset.point] ?? "plain"].colour);
    }
    for (const letter of this.svg.querySelectorAll("[data-letter]")) {
      const look = setting.looks[view.nodes[letter.dataset.letter] ?? "plain"];
      letter.textContent = look.letter;
      letter.setAttribute("fill", look.colour);
    }
  }

  addTargets(picture) {
    const parts = draw("g", {});
    for (const [id, [x, y, width, height]] of Object.entries(picture.parts)) {
      const target = draw("rect", { x, y, width, height, rx: 6, class: "kit-part", "data-target": id });
      target.append(draw("title", {}, `${id}: ${this.setting.parts[id].title}`));
      target.addEventListener("click", () => this.pick(id));
      parts.append(target);
    }
    this.marks = draw("g", { "pointer-events": "none" });
    this.spots = Object.entries(picture.points).filter(([name]) => this.setting.points[name]).map(([name, [x, y]], place) => {
      const about = this.setting.points[name];
      const spot = draw("circle", { cx: x, cy: y, r: 14, class: "kit-spot", role: "button", "data-spot": name,
        tabindex: place === 0 ? 0 : -1, "aria-label": `Test point ${name}: ${about.where}` });
      spot.append(draw("title", {}, `${name}: ${about.where} (${about.minutes} min)`));
      spot.addEventListener("click", () => this.put(name));
      spot.addEventListener("keydown", (event) => this.spotKey(event, name));
      return spot;
    });
    // Measured once: where texts, rings and parts stand, so that a reading is not put over them; a text least of all.
    this.taken = [...this.svg.querySelectorAll("text, [data-point]")].map((node) => node.getBBox())
      .map((box) => [box.x, box.y, box.width, box.height, 4]).concat(Object.values(picture.parts).map((box) => [...box, 1]));
    this.svg.append(parts, ...this.spots, this.marks);
  }

  spotKey(event, name) {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (event.key === "Enter" || event.key === " ") this.put(name);
    else if (event.key === "Escape") this.leadButtons[this.lead].focus();
    else if (step) {
      const here = this.spots.findIndex((spot) => spot.dataset.spot === name);
      const next = this.spots[(here + step + this.spots.length) % this.spots.length];
      for (const spot of this.spots) spot.setAttribute("tabindex", spot === next ? 0 : -1);
      next.focus();
    } else return;
    event.preventDefault();
  }

  paintLeads() {
    const { setting, view } = this;
    const words = setting.instruments[this.instrument];
    for (const [name, button] of Object.entries(this.tools)) button.setAttribute("aria-pressed", String(name === this.instrument));
    const leads = this.leads[this.instrument];
    this.leadButtons.forEach((button, which) => {
      button.textContent = `${words[which + 1]}: ${leads[which] ?? "…"}`;
      button.setAttribute("aria-pressed", String(which === this.lead));
      off(button, view.over);
    });
    const probe = view.probe;
    const current = probe && probe.instrument === this.instrument && probe.leads.every((lead, which) => lead === leads[which]);
    const reading = current ? probe.reading : "";
    this.shows.textContent = reading || "—";
    this.bulb.toggleAttribute("hidden", this.instrument !== "lamp");
    this.bulb.style.display = this.instrument === "lamp" ? "" : "none";
    const [colour, strength] = BULB[reading] ?? BULB.out;
    this.glass.setAttribute("fill", colour);
    this.glass.setAttribute("fill-opacity", strength || 1);
    this.pointsAt.textContent = leads.filter(Boolean).map((lead) => `${lead}: ${setting.points[lead].where}`).join(" · ");
    this.marks.replaceChildren();
    const picture = setting.pictures[this.stage], places = picture.points;
    leads.forEach((lead, which) => {
      if (lead === null || !places[lead]) return;
      const [x, y] = places[lead];
      const beside = which === 1 && leads[0] === leads[1] ? 22 : 0;
      const mark = draw("g", { transform: `translate(${x + beside},${y})`, "data-lead": which });
      mark.append(
        which === 0 ? draw("rect", { x: -10, y: -10, width: 20, height: 20, rx: 3, fill: "#21033F" }) : draw("circle", { r: 11, fill: "#B3261E" }),
        draw("text", { x: 0, y: 4, "text-anchor": "middle", "font-size": 12, "font-weight": 700, fill: "#fff" }, { lamp: "CT", volts: "BR" }[this.instrument][which]));
      this.marks.append(mark);
    });
    const tip = places[leads[1]];
    if (reading && tip) this.marks.append(this.bubble(reading, tip, picture));
  }

  // The reading where the eyes are: beside the tip, on the side where it covers least.
  bubble(reading, [x, y], picture) {
    const [width, height] = [18 + 8 * reading.length, 24];
    const sides = [[x + 20, y - 12], [x - 20 - width, y - 12], [x + 20, y - 34], [x - 20 - width, y - 34], [x - width / 2, y - 40],
      [x - width / 2, y + 16], [x + 20, y + 14], [x - 20 - width, y + 14]];
    const covered = ([left, top]) => this.taken.reduce((sum, [x0, y0, wide, high, weight]) => sum
      + weight * Math.max(0, Math.min(left + width, x0 + wide) - Math.max(left, x0)) * Math.max(0, Math.min(top + height, y0 + high) - Math.max(top, y0)),
    left < 2 || top < 2 || left + width > picture.width - 2 || top + height > picture.height - 2 ? 1e6 : 0);
    const [left, top] = sides.reduce((best, side) => (covered(side) < covered(best) ? side : best));
    return draw("g", { class: "kit-bubble", "aria-hidden": "true", transform: `translate(${left},${top})` },
      draw("rect", { width, height, rx: 12, fill: "#FFF6D6", stroke: "#1B1F24", "stroke-width": 1.5 }),
      draw("text", { x: width / 2, y: 17, "text-anchor": "middle", "font-size": 14, "font-weight": 700, fill: "#1B1F24" }, reading));
  }

  paintPart() {
    const { setting, view, part } = this;
    if (part === this.partPainted && view.number === this.partNumber && view.over === this.partOver) return;
    [this.partPainted, this.partNumber, this.partOver] = [part, view.number, view.over];
    const focused = [...this.partActs.children].indexOf(document.activeElement);
    const acts = [];
    const about = setting.parts[part];
    const act = (text, name, fields) => {
      acts.push(button(text, () => this.send(name, fields), { "aria-disabled": String(view.over) }));
    };
    if (about) {
      act("Look closely", "look", { part });
      if (about.fuse) {
        if (view.out.includes(part)) act("Put it back", "fuse", { part, to: "in" });
        else act("Take it out", "fuse", { part, to: "out" });
        act(`Fit a new ${about.fuse} fuse`, "fuse", { part, to: "new" });
        act(`Fit a ${about.bigger} fuse`, "fuse", { part, to: "bigger" });
      } else if (about.faults.length) act("Mend or renew it", "repair", { part });
      if (setting.plant) acts.push(this.planter(part, about));
    }
    this.partWords.textContent = about ? `${about.word[0].toUpperCase()}${about.word.slice(1)} ${part}: ${about.title}.` : "Click a part on the drawing, or choose it here.";
    this.partActs.replaceChildren(...acts);
    if (focused >= 0) (this.partActs.children[focused] ?? this.partChoice).focus();
  }

  planter(part, about) {
    const choice = make("select", { "aria-label": `Set a fault in ${part}`, onchange: () => {
      for (const text of about.faults) {
        const fault = `${part} ${text}`, planted = this.view.planted.includes(fault);
        if (planted !== (choice.value === text)) this.send("plant", { fault, present: planted ? "no" : "yes" });
      }
    } }, make("option", { value: "" }, "sound"), ...about.faults.map((text) => make("option", { value: text }, text)));
    choice.value = about.faults.find((text) => this.view.planted.includes(`${part} ${text}`)) ?? "";
    return make("label", {}, "Set a fault: ", choice);
  }

  paintSheet() {
    const { view } = this;
    this.spent.textContent = `${view.minutes} ${view.minutes === 1 ? "minute" : "minutes"} of workshop time so far`;
    this.nothingYet.hidden = view.sheet.length > 0;
    this.lines.closest("table").hidden = view.sheet.length === 0;
    if (this.lines.children.length > view.sheet.length) this.lines.replaceChildren();
    const fresh = view.sheet.slice(this.lines.children.length);
    if (fresh.length === 0) return;
    this.lines.append(...fresh.map((line) => this.sheetLine(line)));
    const scroll = this.lines.closest(".kit-scroll");
    scroll.scrollTop = scroll.scrollHeight;
  }

  sheetLine(line) {
    const tick = this.setting.card ? make("input", { type: "checkbox", "aria-label": `This line proves it: ${line.done}, ${line.shown}`, onchange: () => {
      if (tick.checked) this.ticked.add(line.number);
      else this.ticked.delete(line.number);
    } }) : null;
    return make("tr", {}, tick && make("td", {}, make("label", { class: "kit-tick" }, tick)),
      ...[line.done, line.shown, line.condition].map((text) => make("td", {}, text)));
  }

  paintReview() {
    const { review } = this.view;
    if (Boolean(review) === Boolean(this.reviewShown)) return;
    this.reviewShown = review;
    if (!review) {
      this.reviewed.replaceChildren();
      return;
    }
    const heading = make("h4", { tabindex: -1 }, "How the job was done");
    this.reviewed.replaceChildren(...[heading,
      make("p", { class: "kit-points" }, `${review.points} of ${review.of} points. ${review.passed ? "Passed." : "Not yet a pass."}`),
      review.cap ? make("p", { class: "kit-caution" }, review.cap) : null,
      make("div", { class: "kit-scroll-across" }, make("table", {}, make("tbody", {}, ...review.lines.map((line) => make("tr", {},
        make("th", { scope: "row" }, line.what), make("td", { class: "kit-count" }, `${line.points} of ${line.of}`), make("td", {}, line.why)))))),
      make("h4", {}, "What it was"), ...review.truth.map((text) => make("p", {}, text)),
      button("Work it again, for practice", () => this.send("again"))].filter(Boolean));
    // Freshly handed back: the button that did it is spent, so the focus goes on to what it brought.
    if (this.waiting.textContent) {
      this.waiting.textContent = "";
      heading.focus({ preventScroll: true });
      heading.scrollIntoView({ block: "start", behavior: "smooth" });
    }
  }
}

function render({ model, el }) {
  const bay = new Bay(model, el);
  return () => model.off("change:view", bay.paint);
}

export default { render };
