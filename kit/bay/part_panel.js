// A part in the hand: looked at, felt, wiggled, unplugged, mended. Uses fittings.js.

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
