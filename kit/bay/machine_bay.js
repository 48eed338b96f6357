// The bay on the screen. `setting` comes once, `view` follows every act; acts go out as messages, so none is lost.
//
// From the top: Picture (drawing, test points, leads, arrows along the wire); Tray (instruments and the reading);
// Controls; PartPanel; Sheet; Card; and Bay, which holds them. What every widget has stands in fittings.js, the strip
// chart in strip.js; Python puts them in front (scripts.py).

// --- the drawing

const NEAR = 40; // px: how far from a test point a dragged lead still lands on it

class Picture {
  constructor(bay) {
    this.bay = bay;
    this.node = make("div", { class: "kit-drawing" });
    this.taken = [];
    this.spots = [];
  }

  get plan() {
    const { setting, kind, stage } = this.bay;
    return kind === "blocks" ? setting.blocks : kind === "whole" ? setting.whole : setting.pictures[stage];
  }

  paint() {
    const { bay } = this, key = `${bay.kind} ${bay.stage} ${isDark()}`;
    if (key !== this.shown) {
      this.shown = key;
      this.node.dataset.kind = bay.kind;
      if (bay.kind === "list") this.buildList();
      else this.build();
    }
    if (bay.kind === "stage" || bay.kind === "whole") this.paintStates();
    this.paintLeads();
  }

  build() {
    const { setting } = this.bay, dark = isDark();
    this.node.innerHTML = inked(this.plan.svg, setting.inks);
    this.svg = this.node.querySelector("svg");
    this.svg.setAttribute("role", "group");
    // Never smaller than drawn: on a narrow page it scrolls, and a test point stays large enough to hit.
    Object.assign(this.svg.style, { maxWidth: "none", height: "" });
    const all = (selector) => [...this.svg.querySelectorAll(selector)];
    this.variants = all("[data-when]").map((group) => [group, group.closest("[data-part]").dataset.part]);
    this.lines = all("[data-node]");
    this.rings = all("[data-point]");
    this.letters = all("[data-letter]");
    this.looks = setting.looks[dark ? "dark" : "light"];
    if (this.bay.kind === "blocks") this.addStages();
    else this.addTargets();
  }

  addStages() {
    this.spots = [];
    for (const [id, [x, y, width, height]] of Object.entries(this.plan.parts)) {
      const open = () => { this.bay.show("stage", id); this.bay.tabs[id].focus(); };
      const box = draw("rect", { x, y, width, height, rx: 10, class: "kit-part kit-block", role: "button", tabindex: 0, "aria-label": `Open stage ${id}`, "data-stage": id });
      box.addEventListener("click", open);
      box.addEventListener("keydown", (event) => { if (event.key === "Enter" || event.key === " ") { event.preventDefault(); open(); } });
      this.svg.append(box);
    }
    this.marks = null;
  }

  addTargets() {
    const { setting } = this.bay, parts = draw("g", {});
    for (const [id, [x, y, width, height]] of Object.entries(this.plan.parts)) {
      const target = draw("rect", { x, y, width, height, rx: 6, class: "kit-part", "data-target": id });
      target.append(draw("title", {}, `${id}: ${setting.parts[id].title}`));
      target.addEventListener("click", () => this.bay.pick(id));
      parts.append(target);
    }
    this.spots = Object.entries(this.plan.points).filter(([name]) => setting.points[name]).map(([name, [x, y]], place) => {
      const spot = draw("circle", { cx: x, cy: y, r: 14, class: "kit-spot" });
      spot.append(draw("title", {}, `${name}: ${setting.points[name].where} (${setting.points[name].minutes} min)`));
      return this.asSpot(spot, name, place);
    });
    this.marks = draw("g", { class: "kit-marks" });
    // Measured once: where texts, rings and parts stand, so that a reading is not put over them; a text least of all.
    this.taken = [...this.svg.querySelectorAll("text, [data-point]")].map((node) => node.getBBox())
      .map((box) => [box.x, box.y, box.width, box.height, 4]).concat(Object.values(this.plan.parts).map((box) => [...box, 1]));
    this.svg.append(parts, ...this.spots, this.marks);
  }

  asSpot(node, name, place) {
    const { setting } = this.bay;
    for (const [key, value] of Object.entries({ role: "button", "data-spot": name, tabindex: place === 0 ? 0 : -1, "aria-label": `Test point ${name}: ${setting.points[name].where}` })) node.setAttribute(key, value);
    node.addEventListener("click", () => this.bay.tray.put(name));
    node.addEventListener("keydown", (event) => this.key(event, name));
    return node;
  }

  // The same stage as a list, for a narrow screen or a reader: every test point and every part by name.
  buildList() {
    const { setting, stage } = this.bay, plan = setting.pictures[stage];
    this.marks = null;
    this.spots = Object.keys(plan.points).filter((name) => setting.points[name]).map((name, place) => {
      const about = setting.points[name];
      return this.asSpot(make("button", { type: "button" }, make("b", {}, name), ` ${about.where}, ${about.minutes} min `, make("span", { class: "kit-here" })), name, place);
    });
    const parts = Object.entries(setting.parts).filter(([id, about]) => about.stage === stage || plan.parts[id])
      .map(([id, about]) => make("li", {}, button(`${id}  ${about.title}`, () => this.bay.pick(id), { "data-target": id })));
    this.node.replaceChildren(make("div", { class: "kit-columns" },
      make("div", {}, make("h4", {}, "Test points"), make("ul", { class: "kit-list" }, ...this.spots.map((spot) => make("li", {}, spot)))),
      make("div", {}, make("h4", {}, "Parts"), make("ul", { class: "kit-list" }, ...parts))));
  }

  key(event, name) {
    const { bay } = this, step = STEPS[event.key];
    if (event.key === "Enter" || event.key === " ") bay.tray.put(name);
    else if (event.key === "Escape") bay.tray.leadButtons[bay.tray.lead].focus();
    else if (event.key === "Home" || event.key === "End") this.focus(this.spots.at(event.key === "Home" ? 0 : -1));
    else if (step) this.focus(bay.kind === "list" ? this.inList(name, step) : this.alongWire(name, step));
    else return;
    event.preventDefault();
  }

  inList(name, [across, down]) {
    const here = this.spots.findIndex((spot) => spot.dataset.spot === name);
    return this.spots[(here + across + down + this.spots.length) % this.spots.length];
  }

  // First along the wire, where it leads that way; else the nearest that way; else the next in order, so none is out of reach.
  alongWire(name, [across, down]) {
    const places = this.plan.points, [x, y] = places[name];
    const that = (other) => {
      const dx = places[other][0] - x, dy = places[other][1] - y, ahead = dx * across + dy * down, aside = Math.abs(dx * down) + Math.abs(dy * across);
      return ahead > 1 && ahead >= aside * 0.5 ? ahead + 2 * aside : Infinity;
    };
    const nearest = (names) => names.filter((other) => other !== name && places[other] && that(other) < Infinity).sort((one, other) => that(one) - that(other))[0];
    const found = nearest(this.bay.setting.along[name]) ?? nearest(this.spots.map((spot) => spot.dataset.spot));
    return found ? this.spots.find((spot) => spot.dataset.spot === found) : this.inList(name, [across, down]);
  }

  focus(next) {
    for (const spot of this.spots) spot.setAttribute("tabindex", spot === next ? 0 : -1);
    next.focus();
  }

  paintStates() {
    const { view, setting } = this.bay, { looks } = this;
    for (const [group, part] of this.variants) {
      const when = setting.parts[part].fuse ? (view.out.includes(part) ? "out" : view.blown.includes(part) ? "blown" : "sound")
        : view.closed.includes(part) ? "closed" : "open";
      if (group.dataset.when === when) group.removeAttribute("display");
      else group.setAttribute("display", "none");
    }
    for (const line of this.lines) {
      const look = looks[view.nodes[line.dataset.node] ?? "plain"];
      line.setAttribute("stroke", look.colour);
      line.setAttribute("stroke-width", look.width + Number(line.dataset.extra ?? 0));
      line.setAttribute("stroke-dasharray", look.dash || "none");
      line.setAttribute("stroke-linecap", look.dash ? "butt" : "round");
    }
    for (const ring of this.rings) ring.setAttribute("stroke", looks[view.nodes[ring.dataset.point] ?? "plain"].colour);
    for (const letter of this.letters) {
      const look = looks[view.nodes[letter.dataset.letter] ?? "plain"];
      letter.textContent = look.letter;
      letter.setAttribute("fill", look.colour);
    }
  }

  paintLeads() {
    const { tray, kind } = this.bay, { leads, reading } = tray.shown();
    for (const spot of kind === "list" ? this.spots : []) {
      const state = this.bay.view.nodes[spot.dataset.spot], here = leads.map((lead, which) => (lead === spot.dataset.spot ? `◀ ${tray.tool.leads[which]}` : ""));
      spot.querySelector(".kit-here").textContent = [state ?? "", ...here].filter(Boolean).join(" ");
    }
    if (!this.marks) return;
    this.marks.replaceChildren();
    const places = leads.map((lead) => this.placeOf(lead));
    places.forEach((place, which) => {
      if (!place) return;
      const beside = which === 1 && leads[0] === leads[1] ? 22 : 0;
      const mark = draw("g", { transform: `translate(${place[0] + beside},${place[1]})`, class: "kit-mark", "data-lead": which },
        which === 0 ? draw("rect", { x: -11, y: -11, width: 22, height: 22, rx: 4, class: "kit-first" }) : draw("circle", { r: 12, class: "kit-second" }),
        draw("text", { x: 0, y: 4.5, "text-anchor": "middle" }, tray.letter(which)));
      // Taken hold of it moves; only clicked it is the point under it.
      mark.addEventListener("click", () => tray.put(leads[which]));
      if (tray.tool.on === "point") tray.draggable(mark, which);
      this.marks.append(mark);
    });
    const at = places.findLast(Boolean), { view } = this.bay;
    for (const [words, parts] of [["off", view.off], ["spare", view.swapped], ["warm", view.warm]]) {
      for (const box of parts.map((part) => this.plan.parts[part]).filter(Boolean)) {
        this.marks.append(draw("text", { x: box[0] + box[2] / 2, y: box[1] - 3, "text-anchor": "middle", class: "kit-badge" }, words));
      }
    }
    if (reading && at) this.marks.append(this.bubble(reading, at));
  }

  // Where a lead stands on this drawing: a test point's ring, or the middle of a part.
  placeOf(lead) {
    const box = this.plan.parts[lead];
    return this.plan.points[lead] ?? (box ? [box[0] + box[2] / 2, box[1] + box[3] / 2] : null);
  }

  // The reading where the eyes are: beside the tip, on the side where it covers least.
  bubble(reading, [x, y]) {
    const { plan } = this, [width, height] = [18 + 8 * reading.length, 24];
    const sides = [[x + 20, y - 12], [x - 20 - width, y - 12], [x + 20, y - 34], [x - 20 - width, y - 34], [x - width / 2, y - 40],
      [x - width / 2, y + 16], [x + 20, y + 14], [x - 20 - width, y + 14]];
    const covered = ([left, top]) => this.taken.reduce((sum, [x0, y0, wide, high, weight]) => sum
      + weight * Math.max(0, Math.min(left + width, x0 + wide) - Math.max(left, x0)) * Math.max(0, Math.min(top + height, y0 + high) - Math.max(top, y0)),
    left < 2 || top < 2 || left + width > plan.width - 2 || top + height > plan.height - 2 ? 1e6 : 0);
    const [left, top] = sides.reduce((best, side) => (covered(side) < covered(best) ? side : best));
    return draw("g", { class: "kit-bubble", "aria-hidden": "true", transform: `translate(${left},${top})` },
      draw("rect", { width, height, rx: 12 }), draw("text", { x: width / 2, y: 17, "text-anchor": "middle" }, reading));
  }

  // The test point nearest to a place on the screen, if one is near.
  near(x, y) {
    const far = (spot) => {
      const box = spot.getBoundingClientRect();
      return Math.hypot(Math.max(box.left - x, 0, x - box.right), Math.max(box.top - y, 0, y - box.bottom));
    };
    const [best] = [...this.spots].sort((one, other) => far(one) - far(other));
    return best && far(best) < NEAR - 14 ? best.dataset.spot : null;
  }
}

// --- instruments

const BULB = { out: 0, glow: 0.35, dim: 0.7, bright: 1 };

class Tray {
  constructor(bay) {
    this.bay = bay;
    this.tools = bay.setting.tray;
    this.instrument = Object.keys(this.tools)[0];
    this.hold = "";
    this.leads = {};
    this.clear();
    // The ranges of a meter are one instrument with a dial.
    const kinds = [...new Set(Object.values(this.tools).map((tool) => tool.kind))];
    this.kinds = Object.fromEntries(kinds.map((kind) => [kind, button(kind, () => this.take(this.lastOf(kind)), { "aria-pressed": "false" })]));
    this.dial = Object.fromEntries(Object.entries(this.tools).filter(([, tool]) => tool.range)
      .map(([name, tool]) => [name, button(tool.range, () => this.take(name), { "aria-pressed": "false" })]));
    this.leadButtons = [0, 1].map((which) => {
      const node = button("", () => { this.lead = which; bay.paintLeads(); }, { "aria-pressed": "false", class: "kit-lead" });
      this.draggable(node, which);
      return node;
    });
    this.glass = draw("circle", { cx: 20, cy: 20, r: 15, class: "kit-glass" });
    this.bulb = draw("svg", { viewBox: "0 0 40 40", class: "kit-bulb", "aria-hidden": "true" }, this.glass,
      draw("path", { d: "M12,24 L16,16 L20,24 L24,16 L28,24", class: "kit-filament" }));
    this.shows = make("span", { class: "kit-shows" });
    this.face = make("div", { class: "kit-reading" }, this.bulb, this.shows);
    this.pointsAt = make("p", { class: "kit-soft kit-places" });
    this.how = make("p", { class: "kit-soft kit-how" });
    this.prove = button("Prove it", () => bay.send("prove", { instrument: this.instrument }), { title: "on the workshop's own battery" });
    this.lift = button("Take the leads off", () => this.takeOff());
    this.minMax = button("min max", () => { this.hold = this.hold ? "" : "min max"; bay.paintLeads(); this.measure(); }, { "aria-pressed": "false" });
    this.renew = button("New fuse in it", () => bay.send("renew", { instrument: this.tool.spends }));
    this.dialRow = make("div", { class: "kit-row kit-dial", role: "group", "aria-label": "Dial" }, ...Object.values(this.dial));
    this.node = make("section", { class: "kit-panel kit-tray" }, make("h4", {}, "Measure"),
      make("div", { class: "kit-row", role: "group", "aria-label": "Instruments" }, ...Object.values(this.kinds)),
      make("div", { class: "kit-row" }, make("div", { class: "kit-row" }, ...this.leadButtons), this.face, this.dialRow), this.how, this.pointsAt,
      make("div", { class: "kit-row" }, this.lift, this.prove, this.minMax, this.renew));
  }

  get tool() { return this.tools[this.instrument]; }

  lastOf(kind) {
    return this.tool.kind === kind ? this.instrument : this.was?.[kind] ?? Object.keys(this.tools).find((name) => this.tools[name].kind === kind);
  }

  clear() {
    this.lead = 0;
    for (const [name, tool] of Object.entries(this.tools)) this.leads[name] = tool.leads.map(() => null);
  }

  // Leads as they stand in the view: after a reload, and while looking back.
  takeUp(probe) {
    if (!probe) return;
    this.instrument = probe.instrument;
    this.hold = probe.hold ?? "";
    this.leads[probe.instrument] = [...probe.leads];
  }

  // Another range of the same meter keeps its leads where they are.
  take(name) {
    if (this.bay.still) return;
    const leads = this.leads[this.instrument];
    if (this.tools[name].kind === this.tool.kind) this.leads[name] = leads;
    this.instrument = name;
    this.was = { ...this.was, [this.tool.kind]: name };
    this.hold = "";
    this.lead = Math.max(0, this.leads[name].indexOf(null) < 0 ? this.leads[name].length - 1 : this.leads[name].indexOf(null));
    this.bay.paintLeads();
    this.measure();
  }

  // On a test point, or on the part it goes round or into.
  put(where, which = this.lead) {
    const leads = this.leads[this.instrument];
    if (this.bay.still || this.tool.on !== (where in this.bay.setting.points ? "point" : this.bay.setting.parts[where].word)) return;
    leads[which] = where;
    this.lead = leads.indexOf(null) < 0 ? leads.length - 1 : leads.indexOf(null);
    this.bay.paintLeads();
    this.measure();
  }

  measure() {
    const leads = this.leads[this.instrument];
    // Both leads on one point are no reading; one of them is on its way.
    if (!leads.includes(null) && new Set(leads).size === leads.length) this.bay.send("probe", { instrument: this.instrument, leads: [...leads], hold: this.hold });
  }

  takeOff() {
    this.clear();
    this.bay.paintLeads();
    if (this.bay.view.probe) this.bay.send("lift");
  }

  letter(which) {
    const [first, second] = this.tool.leads.map((word) => word[0].toUpperCase());
    return first === second ? String(which + 1) : [first, second][which];
  }

  // What stands on the drawing: the leads, and a reading that belongs to them.
  shown() {
    const leads = this.leads[this.instrument], { probe } = this.bay.view;
    const current = probe && probe.instrument === this.instrument && probe.leads.every((lead, which) => lead === leads[which]);
    return { leads, reading: current ? [probe.reading, probe.now].filter(Boolean).join(", now ") : "" };
  }

  // A lead can be dragged, from its button or from where it is; clicks stay clicks.
  draggable(node, which) {
    node.addEventListener("pointerdown", (down) => {
      if (down.button !== 0 || this.bay.still) return;
      let ghost = null;
      const move = (event) => {
        if (!ghost && Math.hypot(event.clientX - down.clientX, event.clientY - down.clientY) < 8) return;
        if (!ghost) {
          ghost = make("div", { class: "kit-ghost", "aria-hidden": "true" }, this.tool.leads[which]);
          this.bay.root.append(ghost);
        }
        const box = this.bay.root.getBoundingClientRect();
        ghost.style.left = `${event.clientX - box.left}px`;
        ghost.style.top = `${event.clientY - box.top}px`;
        ghost.dataset.near = this.bay.picture.near(event.clientX, event.clientY) ?? "";
      };
      const done = (event) => {
        window.removeEventListener("pointermove", move);
        for (const name of ["pointerup", "pointercancel"]) window.removeEventListener(name, done);
        if (!ghost) return;
        ghost.remove();
        // The click that may end a drag is none.
        const swallow = (click) => click.stopPropagation();
        window.addEventListener("click", swallow, { capture: true, once: true });
        setTimeout(() => window.removeEventListener("click", swallow, { capture: true }), 0);
        const point = event.type === "pointerup" ? this.bay.picture.near(event.clientX, event.clientY) : null;
        if (point) this.put(point, which);
      };
      window.addEventListener("pointermove", move);
      for (const name of ["pointerup", "pointercancel"]) window.addEventListener(name, done);
    });
  }

  paint() {
    const { setting, still } = this.bay, { leads, reading } = this.shown(), { tool } = this;
    for (const [kind, node] of Object.entries(this.kinds)) { pressed(node, kind === tool.kind); off(node, still); }
    for (const [name, node] of Object.entries(this.dial)) { pressed(node, name === this.instrument); off(node, still); }
    this.dialRow.style.visibility = tool.range ? "" : "hidden";
    this.how.textContent = tool.on === "point" ? "Take a lead, then click a test point: a ring on the drawing. Or drag the lead there."
      : `Click the ${tool.on} on the drawing.`;
    this.leadButtons.forEach((node, which) => {
      node.hidden = which >= leads.length;
      node.textContent = `${tool.leads[which]}: ${leads[which] ?? "…"}`;
      pressed(node, which === this.lead);
      off(node, still);
    });
    off(this.lift, still || leads.every((lead) => lead === null));
    off(this.prove, still || !tool.proved);
    this.minMax.hidden = !tool.holds;
    this.renew.hidden = !tool.spends;
    pressed(this.minMax, this.hold);
    for (const node of [this.minMax, this.renew]) off(node, still);
    const lamp = reading in BULB || tool.kind.includes("lamp");
    this.face.dataset.face = lamp ? "lamp" : "meter";
    this.bulb.style.display = lamp ? "" : "none";
    this.glass.style.fillOpacity = BULB[reading] ?? 0;
    if (this.shows.textContent !== (reading || "—")) {
      this.shows.textContent = reading || "—";
      // Digits settle: seen, not announced, and not at all for whoever wants no motion.
      this.shows.classList.remove("kit-settles");
      void this.shows.offsetWidth;
      if (reading && !lamp) this.shows.classList.add("kit-settles");
    }
    const where = (lead) => setting.points[lead]?.where ?? setting.parts[lead].title;
    this.pointsAt.textContent = leads.filter(Boolean).map((lead) => `${lead}: ${where(lead)}`).join(" · ");
  }
}

// --- the operator's controls

const MOST_HELD = 60; // seconds an act can say something was held

class Controls {
  constructor(bay) {
    this.bay = bay;
    this.switches = {};
    this.holders = [];
    const rows = bay.setting.controls.map((control) => {
      const move = (position) => bay.send("operate", { control: control.id, position });
      this.switches[control.id] = Object.fromEntries(control.positions.map((position) => [position, button(position, () => move(position), { "aria-pressed": "false" })]));
      const buttons = Object.values(this.switches[control.id]);
      return make("div", { class: "kit-control" }, make("span", {}, control.title), make("span", { class: "kit-row" },
        make("span", { class: "kit-group", role: "group", "aria-label": control.title }, ...buttons),
        ...control.holds.flatMap(([position, free]) => [this.holder(control, position, free), ...this.presses(control, position)])));
    });
    this.noticed = make("ul", { class: "kit-noticed", "aria-label": "What you notice" });
    this.node = make("div", { class: "kit-panel" }, make("h4", {}, "Operate"), ...rows, make("h4", {}, "What you notice"), this.noticed);
  }

  // Pressed so long and let go, in one act: for a meter set to min max, and for whoever cannot hold.
  presses(control, position) {
    const what = this.named(control, position);
    return [1, 3].map((seconds) => {
      const node = button(`${seconds} s`, () => this.bay.send("press", { control: control.id, position, seconds }), { "aria-label": `press ${what} for ${seconds} ${seconds === 1 ? "second" : "seconds"}` });
      this.holders.push(node);
      return node;
    });
  }

  // A button is pressed; a key that springs back from its last position is held there.
  named(control, position) {
    return control.positions.length > 2 ? `${control.title} at ${position}` : control.title;
  }

  // Held down by mouse, finger or key; the two buttons beside it do the same for whoever cannot hold. Let go, it springs
  // back, and says for how long it was held.
  holder(control, position, free) {
    const { bay } = this, down = control.positions.length > 2 ? "" : " down";
    const node = make("button", { type: "button", class: "kit-hold", "aria-label": `hold ${this.named(control, position)}${down}` }, "hold");
    let since = null;
    const move = (there, fields = {}) => bay.send("operate", { control: control.id, position: there, ...fields });
    const hold = () => { if (since === null && !isOff(node)) { since = performance.now(); node.dataset.down = ""; move(position); } };
    const letGo = () => {
      if (since === null) return;
      const held = Math.min(MOST_HELD, Math.max(0.1, Math.round((performance.now() - since) / 100) / 10));
      since = null;
      delete node.dataset.down;
      move(free, { held });
    };
    node.addEventListener("pointerdown", (event) => { if (event.button === 0) { node.setPointerCapture(event.pointerId); hold(); } });
    node.addEventListener("keydown", (event) => { if (event.key === " " || event.key === "Enter") { event.preventDefault(); hold(); } });
    node.addEventListener("keyup", (event) => { if (event.key === " " || event.key === "Enter") { event.preventDefault(); letGo(); } });
    for (const name of ["pointerup", "pointercancel", "lostpointercapture", "blur"]) node.addEventListener(name, letGo);
    this.holders.push(node);
    return node;
  }

  paint() {
    const { view, still } = this.bay;
    for (const [control, buttons] of Object.entries(this.switches)) {
      for (const [position, node] of Object.entries(buttons)) {
        pressed(node, view.positions[control] === position);
        off(node, still);
      }
    }
    for (const node of this.holders) off(node, still);
    this.noticed.replaceChildren(...view.noticed.map((text) => make("li", {}, text)));
  }
}

// --- a part in the hand

class PartPanel {
  constructor(bay) {
    this.bay = bay;
    this.choice = make("select", { "aria-label": "Part", onchange: () => bay.pick(this.choice.value) });
    this.acts = make("div", { class: "kit-row" });
    this.words = make("p", { class: "kit-soft" });
    this.mending = make("div");
    this.node = make("div", { class: "kit-panel" }, make("h4", {}, "Look, feel, unplug, mend"), this.choice, this.words, this.acts, this.mending);
  }

  list() {
    const { setting, kind, stage } = this.bay, listed = `${kind === "whole"} ${stage}`;
    if (listed === this.listed) return;
    this.listed = listed;
    const drawn = setting.pictures[stage].parts, here = Object.entries(setting.parts).filter(([id, about]) => kind === "whole" || about.stage === stage || drawn[id]);
    this.choice.replaceChildren(make("option", { value: "" }, "choose a part …"), ...here.map(([id, about]) => make("option", { value: id }, `${id}  ${about.title}`)));
    if (!here.some(([id]) => id === this.bay.part)) this.bay.part = null;
  }

  paint() {
    this.list();
    const { setting, view, part, still } = this.bay, key = `${part} ${view.number} ${still}`;
    this.choice.value = part ?? "";
    if (key === this.painted) return;
    this.painted = key;
    const focused = [...this.acts.children].indexOf(document.activeElement), about = setting.parts[part];
    this.words.textContent = about ? `${about.word[0].toUpperCase()}${about.word.slice(1)} ${part}: ${about.title}.` : "Click a part on the drawing, or choose it here.";
    this.acts.replaceChildren(...(about ? this.actsOf(part, about) : []));
    if (focused >= 0) (this.acts.children[focused] ?? this.choice).focus();
    if (part !== this.mends) {
      this.mends = part;
      this.mending.replaceChildren(...(about?.faults.length ? [this.mender(part, about)] : []));
    }
    const mend = this.mending.querySelector(".kit-mend");
    if (mend) off(mend, still);
  }

  actsOf(part, about) {
    const { bay } = this, { view } = bay;
    const act = (text, name, fields) => button(text, () => bay.send(name, { part, ...fields }), { "aria-disabled": String(bay.still) });
    const either = (there, yes, no) => act(...(there.includes(part) ? yes : no));
    const acts = [act("Look closely", "look"), act("Feel it", "feel"), act("Wiggle it", "wiggle"),
      either(view.warm, ["Let it cool", "warm", { to: "cold" }], ["Warm it up", "warm", { to: "warm" }])];
    if (about.unplugs) acts.push(either(view.off, ["Put it on again", "plug"], ["Take it off", "unplug"]));
    if (about.fuse) {
      acts.push(either(view.out, ["Put it back", "fuse", { to: "in" }], ["Take it out", "fuse", { to: "out" }]),
        act(`Fit a new ${about.fuse} fuse`, "fuse", { to: "new" }), act(`Fit a ${about.bigger} fuse`, "fuse", { to: "bigger" }));
    }
    if (about.swaps) acts.push(either(view.swapped, ["Put its own back", "swap", { to: "own" }], ["Try a good spare", "swap", { to: "spare" }]));
    if (bay.setting.plant) acts.push(this.planter(part, about));
    return acts;
  }

  // How it is put right, and the steps that make it last.
  mender(part, about) {
    const { bay } = this, { ways } = bay.setting, steps = make("div");
    const how = make("select", { "aria-label": "How it is put right", onchange: () => steps.replaceChildren(...Object.entries(ways[how.value]?.steps ?? {})
      .map(([step, words]) => make("label", { class: "kit-tick" }, make("input", { type: "checkbox", value: step }), make("span", {}, words)))) },
    make("option", { value: "" }, "as the manual says"), ...about.ways.map((way) => make("option", { value: way }, `${way} (${ways[way].minutes} min)`)));
    const mend = button("Mend or renew it", () => bay.send("repair", { part, how: how.value, steps: [...steps.querySelectorAll("input:checked")].map((box) => box.value) }), { class: "kit-mend" });
    // In the order of the hand: how, the steps of it, and then done.
    return make("div", {}, make("div", { class: "kit-row" }, make("span", {}, "Put it right:"), how), steps, make("div", { class: "kit-row" }, mend));
  }

  planter(part, about) {
    const { bay } = this, planted = (text) => bay.view.planted.includes(`${part} ${text}`);
    const choice = make("select", { "aria-label": `Set a fault in ${part}`, onchange: () => {
      for (const text of about.faults) {
        if (planted(text) !== (choice.value === text)) bay.send("plant", { fault: `${part} ${text}`, present: planted(text) ? "no" : "yes" });
      }
    } }, make("option", { value: "" }, "sound"), ...about.faults.map((text) => make("option", { value: text }, text)));
    choice.value = about.faults.find(planted) ?? "";
    return make("label", {}, "Set a fault: ", choice);
  }
}

// --- the test sheet

class Sheet {
  constructor(bay) {
    this.bay = bay;
    this.ticked = new Set();
    this.rows = [];
    this.lines = make("tbody");
    this.spent = make("span", { class: "kit-soft" });
    this.nothingYet = make("p", { class: "kit-soft" }, "Nothing yet. What you do and what it shows is written here.");
    const titles = [...(bay.setting.card ? ["Proves it"] : []), "Done", "Shown", "Condition", "Minutes", ""];
    this.table = make("table", {}, make("thead", {}, make("tr", {}, ...titles.map((text) => (text ? make("th", { scope: "col" }, text) : make("td"))))), this.lines);
    // A region that scrolls must be reached by keys as well.
    this.scroll = make("div", { class: "kit-scroll", tabindex: 0, role: "region", "aria-label": "Test sheet, lines so far" }, this.table);
    const number = Object.keys(bay.setting.card?.form ?? {}).indexOf("Tests") + 1;
    this.node = make("section", { class: "kit-sheet" }, make("div", { class: "kit-row" }, make("h4", {}, number ? `${number} Tests: the test sheet` : "Test sheet"), this.spent), this.nothingYet, this.scroll,
      make("details", {}, make("summary", {}, "What each act costs, in minutes"), make("ul", { class: "kit-costs" },
        ...[["put a lead on a test point: as it says there, the first time", ""], ...bay.setting.costs].map(([words, minutes]) => make("li", {}, `${words}${minutes === "" ? "" : `: ${minutes}`}`)))), ...this.often(bay.setting.card?.often));
  }

  // The shares a job is weighed by, the same whatever is wrong with the machine.
  often(lists) {
    if (!lists) return [];
    const told = lists.flatMap(([title, rows]) => [make("p", {}, title), make("ul", { class: "kit-costs" }, ...rows.map(([words, share]) => make("li", {}, `${words}: ${share}`)))]);
    return [make("details", {}, make("summary", {}, "What fails often on this machine"),
      make("p", { class: "kit-soft" }, "Twice the figure: met twice as often. Common practice; your work is weighed by these, whatever is wrong here."), ...told)];
  }

  paint() {
    const { view } = this.bay;
    this.spent.textContent = `${view.minutes} ${view.minutes === 1 ? "minute" : "minutes"} of workshop time so far`;
    this.nothingYet.hidden = view.sheet.length > 0;
    this.scroll.hidden = view.sheet.length === 0;
    const before = this.rows.length;
    view.sheet.forEach((line, place) => {
      const key = JSON.stringify([line, Boolean(view.truth), view.truth?.back === line.number]);
      if (this.rows[place]?.key === key) return;
      const row = { key, node: this.line(line) };
      if (this.rows[place]) this.rows[place].node.replaceWith(row.node);
      else this.lines.append(row.node);
      this.rows[place] = row;
    });
    for (const row of this.rows.splice(view.sheet.length)) row.node.remove();
    if (view.sheet.length > before) this.scroll.scrollTop = this.scroll.scrollHeight;
  }

  line(line) {
    const { bay } = this, { truth } = bay.view, off = String(bay.still);
    const tick = bay.setting.card ? make("input", { type: "checkbox", disabled: line.undone, "aria-label": `This line proves it: ${line.done}, ${line.shown}`, onchange: () => {
      if (tick.checked) this.ticked.add(line.number);
      else this.ticked.delete(line.number);
    } }) : null;
    if (tick) tick.checked = this.ticked.has(line.number) && !line.undone;
    const acts = truth ? [button("what was so", () => bay.post.send({ back: line.number }), { "aria-label": `What was really so at: ${line.done}`, "aria-pressed": String(truth.back === line.number) })] : [
      !line.strip ? null : button("strip", () => bay.strip.ask(line.number), { "aria-label": `Draw the strip of: ${line.done}` }),
      line.again && button("again", () => bay.repeat(line.again), { "aria-label": `Do again: ${line.done}`, "aria-disabled": off }),
      line.undone ? null : button("why?", (node) => this.write(line, node), { "aria-label": `Write why: ${line.done}`, "aria-disabled": off }),
      line.undone ? null : button("withdraw", () => { this.ticked.delete(line.number); bay.send("undo", { reading: line.number }); }, { "aria-label": `Withdraw this line: ${line.done}`, "aria-disabled": off })];
    const cells = { Done: line.done, Shown: line.shown, Condition: line.condition, Minutes: line.minutes || "" };
    const row = make("tr", line.undone ? { class: "kit-undone" } : {}, tick && make("td", { "data-title": "Proves it" }, make("label", { class: "kit-tick" }, tick)),
      ...Object.entries(cells).map(([title, text]) => make("td", { "data-title": title }, make(line.undone && title !== "Minutes" ? "s" : "span", {}, String(text)),
        title === "Shown" && line.reason ? make("span", { class: "kit-where" }, `Why: ${line.reason}`) : null)),
      make("td", {}, make("span", { class: "kit-row kit-small" }, ...acts)));
    return row;
  }

  // Why a reading was taken, or what it told: a field under the line until it is kept.
  write(line, node) {
    const field = make("input", { type: "text", maxlength: 300, value: line.reason, "aria-label": `Why: ${line.done}`, onkeydown: (event) => {
      if (event.key === "Enter") keep();
      else if (event.key === "Escape") { row.remove(); node.focus(); }
    } });
    const keep = () => { if (field.value.trim()) this.bay.send("reason", { reading: line.number, text: field.value.trim() }); row.remove(); this.scroll.focus(); };
    const row = make("tr", {}, make("td", { colspan: 6 }, make("label", { class: "kit-row" }, make("span", {}, "Why:"), field, button("Keep it", keep))));
    node.closest("tr").after(row);
    field.focus();
  }

  chosen() { return [...this.ticked].sort((one, other) => one - other); }
}

// --- the job card

// The card in its fixed form, one section at a time: what comes before the tests stands above the bench, what comes
// after them below the test sheet.
class Card {
  constructor(bay) {
    this.bay = bay;
    this.about = bay.setting.card;
    this.chosen = {};
    this.ticks = { prepare: {}, tidy: {} };
    this.answers = {};
    const sections = {
      "The owner says": this.owner(), "Prepare safely": this.ticking("prepare", this.about.preparations, this.cautions()),
      "Prove the instrument": this.words("Prove the instrument", "What does not light there proves nothing anywhere. The button is “Prove it”, beside the leads."),
      "Reproduce": this.words("Reproduce", "The controls are below the drawing; what you see and hear is written under them."),
      "Inspect": this.words("Inspect", "Click a part on the drawing; what a hand and an eye can do with it stands beside the controls."),
      "Suspects": this.suspects(),
      "Finding": this.finding(), "Repair": this.repair(), "Verify": this.verifying(),
      "Tidy up": this.ticking("tidy", this.about.tidy), "Explain": this.explain(),
    };
    // Numbered as on the card; the tests themselves are the bench and the test sheet, between the two.
    const headings = Object.keys(this.about.form), tests = headings.indexOf("Tests");
    const numbered = (these) => Object.fromEntries(these.map((heading) => [`${headings.indexOf(heading) + 1} ${heading}`, sections[heading]]));
    this.top = [make("p", { class: "kit-complaint" }, `“${this.about.complaint}”`), this.pages("Job card, before the tests", numbered(headings.slice(0, tests)))];
    this.end = this.pages("Job card, after the tests", numbered(headings.slice(tests + 1)));
  }

  // A section that only says what to do at the bench.
  words(heading, more) {
    return make("div", {}, make("p", {}, this.about.form[heading]), make("p", { class: "kit-soft" }, more));
  }

  // One section of several; the tallest gives the height, so that nothing below jumps.
  pages(label, sections) {
    const open = (title) => {
      for (const [other, tab] of Object.entries(tabs)) {
        pressed(tab, other === title);
        sections[other].style.visibility = other === title ? "" : "hidden";
      }
    };
    const tabs = Object.fromEntries(Object.keys(sections).map((title) => [title, button(title, () => open(title), { "aria-pressed": "false" })]));
    const node = make("section", { class: "kit-panel kit-card" }, toolbar(label, Object.values(tabs)), make("div", { class: "kit-pages" }, ...Object.values(sections)));
    open(Object.keys(sections)[0]);
    return node;
  }

  owner() {
    const asked = this.about.questions.map((question) => {
      this.answers[question] = make("p", { class: "kit-answer" });
      return make("li", {}, button(question, () => this.bay.send("ask", { question })), this.answers[question]);
    });
    return make("div", {}, make("p", {}, "Ask before you touch anything:"), make("ul", { class: "kit-list" }, ...asked));
  }

  cautions() {
    const { approach } = this.bay.setting.cautions;
    return approach ? make("p", { class: "kit-caution" }, approach) : null;
  }

  ticking(act, steps, first = null) {
    const labels = Object.entries(steps).map(([step, text]) => {
      const box = make("input", { type: "checkbox", onclick: (event) => {
        if (isOff(box)) event.preventDefault();
        else this.bay.send(act, { step });
      } });
      this.ticks[act][step] = box;
      return make("label", { class: "kit-tick" }, box, make("span", {}, text));
    });
    return make("div", {}, first, ...labels);
  }

  suspects() {
    const { bay } = this, [part, fault, ready] = this.choices("Suspected");
    const why = make("input", { type: "text", maxlength: 300, "aria-label": "because", class: "kit-long" });
    const note = button("Note it", () => { bay.send("note", { part: part.value, fault: fault.value, text: why.value.trim() }); why.value = ""; check(); });
    const check = () => off(note, !part.value || !why.value.trim() || bay.still);
    for (const node of [part, fault, why]) node.addEventListener("input", check);
    this.checkNote = check;
    this.noted = make("ul", { class: "kit-noted" });
    ready();
    check();
    return make("div", {}, make("div", { class: "kit-row" }, make("span", {}, "I suspect"), part, fault, make("span", {}, "because"), why, note), this.noted);
  }

  // A part, and what may be wrong with it.
  choices(title, more = []) {
    const { parts } = this.bay.setting, option = (text) => make("option", { value: text }, text), first = (text) => make("option", { value: "" }, text);
    const part = make("select", { "aria-label": `${title} part` }), fault = make("select", { "aria-label": `${title} fault` });
    part.append(first("part …"), ...Object.entries(parts).filter(([, about]) => about.faults.length).map(([id, about]) => make("option", { value: id }, `${id}  ${about.title}`)));
    const faults = () => fault.replaceChildren(first("what is wrong with it …"), ...(part.value && more.length ? [make("optgroup", { label: "why it came" }, ...more.map(option))] : []),
      ...(part.value && more.length ? [make("optgroup", { label: "another fault" }, ...parts[part.value].faults.map(option))] : (parts[part.value]?.faults ?? []).map(option)));
    part.addEventListener("change", faults);
    return [part, fault, faults];
  }

  finding() {
    const { bay } = this, text = make("input", { type: "text", maxlength: 300, "aria-label": "What is beyond my authority, and whose it is", class: "kit-long" });
    const [part] = this.choices("Referred");
    const refer = button("Refer it", () => bay.send("refer", { part: part.value, text: text.value.trim(), readings: bay.sheet.chosen() }));
    const check = () => off(refer, !part.value || !text.value.trim() || bay.still);
    for (const node of [part, text]) node.addEventListener("input", check);
    this.checkRefer = check;
    this.referred = make("span", { class: "kit-stated" });
    check();
    return make("div", {}, make("p", { class: "kit-soft" }, "Tick the lines of the test sheet that prove it, then state it. Mend only what you have proved; a fuse is a symptom."),
      this.form("fault", "What is wrong:", "State the fault"), this.form("cause", "What made it happen:", "State the cause"),
      make("details", {}, make("summary", {}, "Beyond my authority: refer it"), make("div", { class: "kit-row" }, part, text, refer, this.referred)));
  }

  form(role, title, word) {
    const { bay } = this, [part, fault, faults] = this.choices(title, role === "cause" ? this.about.causes : []);
    const state = button(word, () => bay.send("find", { role, part: part.value, fault: fault.value, readings: bay.sheet.chosen() }));
    const ready = () => off(state, !part.value || !fault.value || bay.still);
    for (const node of [part, fault]) node.addEventListener("change", ready);
    const put = (finding) => { part.value = finding.part; faults(); fault.value = finding.fault; ready(); };
    this.chosen[role] = { ready, put, said: make("span", { class: "kit-stated" }) };
    put({ part: "", fault: "" });
    return make("div", { class: "kit-row kit-finding" }, make("span", {}, title), part, fault, state, this.chosen[role].said);
  }

  repair() {
    this.repaired = make("ul", { class: "kit-noted" });
    return make("div", {}, make("p", {}, "Click the part on the drawing; under “Look, feel, unplug, mend” choose how it is put right and tick each step that you did. The cause first, then what it broke."), this.repaired);
  }

  verifying() {
    this.verify = button("Verified: the owner's complaint is gone", () => this.bay.send("verify"));
    this.verified = make("p", { class: "kit-soft" });
    return make("div", {}, make("p", {}, this.about.form["Verify"]), this.verify, this.verified);
  }

  explain() {
    const { bay } = this;
    this.told = make("textarea", { rows: 3, maxlength: 2000, class: "kit-words", "aria-label": "What you tell the owner" });
    this.say = button("Keep this", () => { if (this.told.value.trim()) bay.send("explain", { text: this.told.value.trim() }); });
    this.handBack = button("Hand the machine back", () => {
      off(this.handBack, true);
      this.waiting.textContent = "Going through your work …";
      bay.send("hand back");
    }, { class: "kit-main" });
    this.waiting = make("span", { class: "kit-soft", role: "status" });
    return make("div", {}, make("p", {}, "Tell the owner what it was, what you did and what to watch for, in words that need no workshop:"), this.told,
      make("div", { class: "kit-row" }, this.say, this.handBack, this.waiting));
  }

  clear() {
    this.waiting.textContent = this.told.value = "";
    for (const role of Object.values(this.chosen)) role.put({ part: "", fault: "" });
  }

  paint() {
    const { view, still } = this.bay;
    for (const [act, done] of [["prepare", view.prepared], ["tidy", view.tidied]]) {
      for (const [step, box] of Object.entries(this.ticks[act])) {
        box.checked = done.includes(step);
        off(box, box.checked || still);
      }
    }
    for (const [question, node] of Object.entries(this.answers)) node.textContent = view.asked[question] ? `“${view.asked[question]}”` : "";
    for (const role of ["fault", "cause"]) {
      const last = view.findings.filter((finding) => finding.role === role).at(-1);
      this.chosen[role].said.textContent = last ? `Stated: ${last.part} ${last.fault}.` : "";
      this.chosen[role].ready();
    }
    this.noted.replaceChildren(...view.notes.map((note) => make("li", {}, `${note.part} ${note.fault}, because ${note.text}`)));
    this.repaired.replaceChildren(...view.repaired.map((text) => make("li", {}, text)));
    this.referred.textContent = view.referred ? `Referred: ${view.referred}` : "";
    if (!this.told.value && view.explained) this.told.value = view.explained;
    this.checkNote();
    this.checkRefer();
    off(this.verify, still || view.verified);
    this.verified.textContent = view.verified ? "Written down as verified. Whoever mends again verifies again." : "";
    off(this.say, still);
    off(this.handBack, still);
  }
}

// --- the whole

const KINDS = { blocks: "blocks", stage: "one stage", list: "as a list", whole: "whole machine" };

class Bay {
  constructor(model, el) {
    this.model = model;
    this.setting = model.get("setting");
    this.kind = "stage";
    this.stage = this.setting.stage;
    this.part = null;
    this.build();
    el.append(this.root);
    this.paint = this.paint.bind(this);
    model.on("change:view", this.paint);
    model.on("change:strip", this.strip.paint);
    this.paintStory = this.paintStory.bind(this);
    model.on("change:story", this.paintStory);
    // The drawing follows the page from light to dark and back.
    this.untheme = onTheme(() => { this.picture.paint(); this.paintLegend(); this.strip.ink(); });
    this.stood = this.view.stood[0];
    this.tray.takeUp(this.view.probe);
    if (this.stood) this.turnTo(...this.view.stood);
    for (const finding of this.view.findings) this.card?.chosen[finding.role]?.put(finding);
    this.paint();
  }

  get view() { return this.model.get("view"); }

  // Whether nothing may be done now: the machine handed back, or a line of the sheet looked back at.
  get still() { return this.view.over || this.view.truth?.back != null; }

  build() {
    const { setting } = this;
    // Focusable, so that a click on empty ground inside stays inside, and with it the keys pressed next.
    this.root = make("div", { class: "kit-bay", role: "group", tabindex: -1, "aria-label": `Bay: ${setting.title}` });
    keepKeys(this.root);
    this.said = make("p", { class: "kit-said" });
    // The one thing a screen reader is told after an act.
    this.status = make("p", { class: "kit-heard", role: "status" });
    [this.link, this.waits] = linkLine(this.status);
    this.post = new Post(this.model, this.waits);
    this.top = make("h3", { tabindex: -1 }, setting.card ? `Job card ${setting.card.id}: ${setting.title}` : setting.title);
    this.picture = new Picture(this);
    this.tray = new Tray(this);
    this.controls = new Controls(this);
    this.parts = new PartPanel(this);
    this.sheet = new Sheet(this);
    this.strip = new Strip(this);
    this.card = setting.card ? new Card(this) : null;
    this.reviewed = make("section", {});
    this.truth = make("div", { class: "kit-row kit-truth", hidden: true });
    this.legend = make("p", { class: "kit-soft kit-legend", hidden: true });
    this.bench = make("div", { class: "kit-bench" }, this.pictureSection(), make("div", {}, this.said, this.tray.node,
      make("section", { class: "kit-columns" }, this.controls.node, this.parts.node)));
    this.root.append(this.top, this.status, this.link, ...(this.card?.top ?? []), this.manual(), this.bench, this.strip.node, this.sheet.node, ...(this.card ? [this.card.end] : []), this.reviewed);
  }

  // What the machine's own papers say: figures and cautions.
  manual() {
    const { cautions, data } = this.setting;
    const folded = (title, rows) => (rows.length ? make("details", {}, make("summary", {}, title), ...rows) : null);
    return make("section", { class: "kit-manual" },
      folded("Take care", Object.values(cautions).map((text) => make("p", { class: "kit-caution" }, text))),
      folded("Data sheet", [make("table", {}, make("tbody", {}, ...Object.entries(data).map(([name, figure]) => make("tr", {}, make("th", { scope: "row" }, name), make("td", {}, figure)))))].filter(() => Object.keys(data).length)));
  }

  pictureSection() {
    this.kinds = Object.fromEntries(Object.entries(KINDS).map(([kind, text]) => [kind, button(text, () => this.show(kind), { "aria-pressed": "false" })]));
    this.tabs = Object.fromEntries(this.setting.stages.map((stage) => [stage.id, button(stage.id, () => this.show(this.kind === "list" ? "list" : "stage", stage.id), { "aria-pressed": "false", title: stage.about })]));
    this.about = make("p", { class: "kit-soft kit-about" });
    this.lid = this.setting.lid ? button("Lift the lid: what was really so", () => this.post.send({ lid: this.view.truth ? "on" : "up" }), { "aria-pressed": "false" }) : null;
    return make("section", {}, toolbar("Picture", Object.values(this.kinds)), toolbar("Stages", Object.values(this.tabs)), this.about, this.picture.node, this.legend, this.lid, this.truth);
  }

  // --- acting

  send(act, fields = {}) { this.post.send({ act, ...fields }); }

  show(kind, stage = this.stage) {
    this.kind = kind;
    this.stage = stage;
    this.paint();
  }

  // A part taken in hand; a clamp goes round it, a hydrometer into it.
  pick(part) {
    this.part = part || null;
    this.parts.paint();
    if (part) this.tray.put(part);
  }

  // A line of the sheet done again: leads where they were.
  repeat({ act, ...fields }) {
    if (this.still) return;
    if (act === "probe") {
      this.tray.takeUp(fields);
      this.paintLeads();
    }
    this.send(act, fields);
  }

  // --- painting

  paintLeads() {
    this.tray.paint();
    this.picture.paintLeads();
  }

  paint() {
    const { view } = this;
    // A view of another machine comes with its setting: this bay is about to go.
    if (this.model.get("setting") !== this.setting) return;
    this.post.answered(view);
    this.startOver();
    if (view.stood[0] !== this.stood) this.standAnew();
    this.paintWhere();
    if (view.truth) this.tray.takeUp(view.probe);
    this.picture.paint();
    this.paintShape();
    this.paintLegend();
    this.controls.paint();
    this.paintSaid();
    this.tray.paint();
    this.parts.paint();
    this.sheet.paint();
    this.strip.paint();
    this.card?.paint();
    this.paintTruth();
    this.paintReview();
    this.root.dataset.number = view.number;
  }

  paintWhere() {
    const { setting, kind, stage } = this;
    for (const [name, node] of Object.entries(this.kinds)) pressed(node, name === kind);
    for (const [id, node] of Object.entries(this.tabs)) pressed(node, id === stage && (kind === "stage" || kind === "list"));
    this.about.textContent = kind === "blocks" ? "The stages and what feeds what. Choose one to see inside."
      : kind === "whole" ? "The whole machine on one sheet." : setting.stages.find((other) => other.id === stage).about;
  }

  // A tall drawing leaves room beside it: there the hands' things stand, in sight of what is measured.
  paintShape() {
    const { width, height } = this.picture.node.querySelector("svg")?.viewBox.baseVal ?? { width: 1, height: 0 };
    this.bench.dataset.shape = this.kind === "stage" && height > width && width <= 460 ? "tall" : "wide";
    this.bench.style.setProperty("--kit-drawn-wide", `${Math.ceil(width) + 24}px`);
  }

  // What colours, dashes and letters mean, wherever states are told.
  paintLegend() {
    const told = this.kind !== "blocks" && Object.keys(this.view.nodes).length > 0, ground = isDark() ? "dark" : "light";
    this.legend.hidden = !told;
    if (!told || this.legend.dataset.ground === ground) return;
    this.legend.dataset.ground = ground;
    this.legend.replaceChildren(...Object.entries(this.setting.looks[ground]).filter(([, look]) => look.letter).map(([state, look]) => make("span", {},
      draw("svg", { width: 44, height: 10, "aria-hidden": "true" }, draw("path", { d: "M0,5 L44,5", stroke: look.colour, "stroke-width": look.width, "stroke-dasharray": look.dash || "none" })),
      ` ${look.letter} ${state}`)));
  }

  // Worked from Python, by name or by the instructor's corner: leads as they are, the drawing turned to where it was.
  standAnew() {
    this.tray.clear();
    this.tray.takeUp(this.view.probe);
    for (const number of this.sheet.ticked) if (!this.view.sheet.some((line) => line.number === number)) this.sheet.ticked.delete(number);
    this.turnTo(...this.view.stood);
  }

  turnTo(stood, part) {
    const { pictures, parts } = this.setting, leads = this.view.probe?.leads ?? [];
    this.stood = stood;
    this.part = part || null;
    if (this.kind === "blocks") return;
    const drawn = (stage) => (part ? part in pictures[stage].parts : leads.every((lead) => lead in pictures[stage].points || lead in pictures[stage].parts));
    if ((part || leads.length) && !drawn(this.stage)) {
      const last = leads.at(-1), some = Object.keys(pictures).find(drawn) ?? Object.keys(pictures).find((stage) => last in pictures[stage].points);
      this.stage = parts[part]?.stage ?? some ?? this.stage;
    }
  }

  // The job begun again: no lead, tick or choice is left from the last time.
  startOver() {
    const again = this.wasOver && !this.view.over;
    this.wasOver = this.view.over;
    if (!again || !this.card) return;
    this.tray.clear();
    this.sheet.ticked.clear();
    this.card?.clear();
    this.top.focus();
    this.top.scrollIntoView({ block: "start" });
  }

  paintSaid() {
    const { view, setting } = this, { probe } = view;
    const shows = probe?.now ? `${probe.reading} while held, ${probe.now} now` : probe?.reading;
    const reading = shows ? `${setting.tray[probe.instrument].title}: ${shows}.` : "";
    const bare = probe && view.said === probe.reading;
    this.said.textContent = bare ? reading : `${view.said || "At rest. Nothing done yet."}${probe?.now ? ` ${reading}` : ""}`;
    if (this.heard !== undefined && this.heard !== view.number) this.status.textContent = bare ? reading : `${view.said} ${reading}`;
    this.heard = view.number;
  }

  paintTruth() {
    const { truth, sheet } = this.view;
    this.truth.hidden = !truth;
    if (this.lid) pressed(this.lid, truth);
    if (!truth) return;
    const place = sheet.findIndex((line) => line.number === truth.back), at = (step) => sheet[place + step]?.number;
    const go = (text, number, label) => button(text, () => this.post.send({ back: number }), { "aria-disabled": String(number === undefined), "aria-label": label });
    const focused = [...this.truth.children].indexOf(document.activeElement);
    this.truth.replaceChildren(
      make("b", {}, place < 0 ? "Now:" : `Line ${place + 1} of ${sheet.length}, ${sheet[place].done}:`),
      make("span", {}, `${truth.faults.join(" and ") || "nothing wrong"}; the drawing shows what every conductor really did.`),
      go("◀", place < 0 ? sheet.at(-1)?.number : at(-1), "one line back"), go("▶", place < 0 ? undefined : at(1), "one line on"),
      button("now", () => this.post.send({ back: null }), { "aria-disabled": String(place < 0) }));
    if (focused >= 0) this.truth.children[focused].focus();
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
      this.told = make("div", { class: "kit-told" }),
      button("Work it again, for practice", () => this.send("again"))].filter(Boolean));
    this.paintStory();
    // Freshly handed back: the button that did it is spent, so the focus goes on to what it brought.
    if (this.card.waiting.textContent) {
      this.card.waiting.textContent = "";
      heading.focus({ preventScroll: true });
      heading.scrollIntoView({ block: "start", behavior: "smooth" });
    }
  }

  // The work explained, heading by heading, for whoever asks for it.
  paintStory() {
    if (!this.told?.isConnected) return;
    const story = this.model.get("story") ?? [];
    this.told.replaceChildren(...(story.length ? story.flatMap(([heading, text], place) => [
      heading && heading !== story[place - 1]?.[0] ? make("h4", {}, heading) : null, make("p", {}, text)]).filter(Boolean)
      : [button("Go through my work", () => this.post.send({ story: true }))]));
  }

  close() {
    this.model.off("change:story", this.paintStory);
    this.model.off("change:view", this.paint);
    this.model.off("change:strip", this.strip.paint);
    this.strip.close();
    this.untheme();
    this.post.close();
  }
}

// Another machine put on the bench: built anew in the same place.
function render({ model, el }) {
  let bay = new Bay(model, el);
  const exchange = () => {
    bay.close();
    bay.root.remove();
    bay = new Bay(model, el);
  };
  model.on("change:setting", exchange);
  return () => {
    model.off("change:setting", exchange);
    bay.close();
  };
}

export default { render };
