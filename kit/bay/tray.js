// The instruments on the bench and what they show. Uses fittings.js.

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

  // Another range of the same meter keeps its leads where they are, and reads. Another instrument comes with its leads
  // in the hand, unless it is the one that is on the machine: nothing is measured by merely taking it up.
  take(name) {
    if (this.bay.still) return;
    const leads = this.leads[this.instrument], { probe } = this.bay.view;
    if (this.tools[name].kind !== this.tool.kind) {
      this.clear();
      const on = probe && this.tools[probe.instrument].kind === this.tools[name].kind;
      this.hold = "";
      if (on) this.takeUp(probe);
      else this.instrument = name;
      this.was = { ...this.was, [this.tool.kind]: this.instrument };
      this.lead = on ? probe.leads.length - 1 : 0;
      this.bay.paintLeads();
      return;
    }
    this.leads[name] = leads;
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
    const together = leads.length > 1 && leads[0] !== null && leads[0] === leads[1];
    this.how.textContent = together ? `Both leads are on ${leads[0]}: that is no reading. Put one of them on another point.`
      : tool.on === "point" ? "Take a lead, then click a test point: a ring on the drawing. Or drag the lead there."
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
