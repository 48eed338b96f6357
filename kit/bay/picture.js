// The drawing on the bench: test points, leads put on by hand or keys, arrows along the wire. Uses fittings.js.

const NEAR = 40; // px: how far from a test point a dragged lead still lands on it

class Picture {
  constructor(bay) {
    this.bay = bay;
    this.node = make("div", { class: "kit-drawing" });
    this.printed = [];
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
    this.printed = [...this.svg.querySelectorAll("text, [data-point]")];
    this.measured = null;
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

  // Where texts, rings and parts stand, so that a reading is not put over them; a text least of all. Measured once the
  // drawing is on the page: before that everything measures nothing.
  taken() {
    if (this.measured) return this.measured;
    const texts = this.printed.map((node) => node.getBBox()), taken = texts.map((box) => [box.x, box.y, box.width, box.height, 4])
      .concat(Object.values(this.plan.parts).map((box) => [...box, 1]));
    if (texts.some((box) => box.width)) this.measured = taken;
    return taken;
  }

  // The reading where the eyes are: beside the tip, on the side where it covers least; a little further off where all is full.
  bubble(reading, [x, y]) {
    const { plan } = this, taken = this.taken(), [width, height] = [18 + 8 * reading.length, 24];
    const sides = [[x + 20, y - 12], [x - 20 - width, y - 12], [x + 20, y - 34], [x - 20 - width, y - 34], [x - width / 2, y - 40],
      [x - width / 2, y + 16], [x + 20, y + 14], [x - 20 - width, y + 14],
      [x - width / 2, y + 44], [x - width / 2, y - 68], [x + 20, y + 40], [x - 20 - width, y + 40]];
    const covered = ([left, top]) => taken.reduce((sum, [x0, y0, wide, high, weight]) => sum
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
