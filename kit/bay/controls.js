// The operator's controls, and what is noticed of the machine. Uses fittings.js.

const MOST_HELD = 60; // seconds an act can say something was held

function heldSince(since) {
  return Math.min(MOST_HELD, Math.max(0.1, Math.round((performance.now() - since) / 100) / 10));
}

class Controls {
  constructor(bay) {
    this.bay = bay;
    this.switches = {};
    this.holders = [];
    this.kept = {};
    const rows = bay.setting.controls.map((control) => {
      const move = (position) => this.move(control, position);
      this.switches[control.id] = Object.fromEntries(control.positions.map((position) => [position, button(position, () => move(position), { "aria-pressed": "false" })]));
      const buttons = Object.values(this.switches[control.id]);
      return make("div", { class: "kit-control" }, make("span", {}, control.title), make("span", { class: "kit-row" },
        make("span", { class: "kit-group", role: "group", "aria-label": control.title }, ...buttons),
        ...control.holds.flatMap(([position, free]) => [this.holder(control, position, free), this.presses(control, position)])));
    });
    this.noticed = make("ul", { class: "kit-noticed", "aria-label": "What you notice" });
    this.node = make("div", { class: "kit-panel" }, make("h4", {}, "Operate"), ...rows, make("h4", {}, "What you notice"), this.noticed);
  }

  // Switched to where a hand must hold it, and away again: the seconds between are what it was held, as with the button
  // held down.
  move(control, position) {
    const { kept } = this, since = position === kept[control.id]?.position ? null : kept[control.id];
    this.bay.send("operate", { control: control.id, position, ...(since ? { held: heldSince(since.at) } : {}) });
    if (since) delete kept[control.id];
    if (control.holds.some(([held]) => held === position)) kept[control.id] ??= { position, at: performance.now(), seen: false };
  }

  // Pressed so long and let go, in one act: for a meter set to min max, and for whoever cannot hold.
  presses(control, position) {
    const what = this.named(control, position);
    return make("span", { class: "kit-group" }, ...[1, 2, 3].map((seconds) => {
      const node = button(`${seconds} s`, () => this.bay.send("press", { control: control.id, position, seconds }), { "aria-label": `press ${what} for ${seconds} ${seconds === 1 ? "second" : "seconds"}` });
      this.holders.push(node);
      return node;
    }));
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
      const held = heldSince(since);
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
    // Let go by other means, its seconds are counted there.
    for (const [control, kept] of Object.entries(this.kept)) {
      if (view.positions[control] === kept.position) kept.seen = true;
      else if (kept.seen) delete this.kept[control];
    }
    this.noticed.replaceChildren(...view.noticed.map((text) => make("li", {}, text)));
  }
}
