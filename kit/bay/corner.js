// The instructor's corner: what a room is shown, asked and told, on one machine. `setting` comes once, `view` follows;
// what is asked for goes out as a message with `do`. The machine itself is a bay of its own below. Uses fittings.js.

const TABS = {
  fault: "Set a fault", today: "Fault of the day", vote: "Vote", replay: "Replay a record", wall: "Class wall",
};

class Corner {
  constructor(model, el) {
    this.model = model;
    this.setting = model.get("setting");
    this.root = make("div", { class: "kit-bay kit-corner", role: "group", tabindex: -1, "aria-label": `Instructor's corner: ${this.setting.title}` });
    keepKeys(this.root);
    this.status = make("p", { class: "kit-heard", role: "status" });
    const [link, waits] = linkLine(this.status);
    this.post = new Post(model, waits);
    this.said = make("p", { class: "kit-said" });
    const build = { fault: this.fault(), today: this.today(), vote: this.vote(), replay: this.replay(), wall: this.wall() };
    this.sections = Object.fromEntries(Object.entries(build).map(([name, nodes]) => [name, make("div", { class: "kit-panel", hidden: true }, ...nodes)]));
    this.tabs = Object.fromEntries(Object.entries(TABS).map(([name, text]) => [name, button(text, () => this.open(name), { "aria-pressed": "false" })]));
    this.root.append(make("h3", {}, `Instructor's corner: ${this.setting.title}`), this.status, link, toolbar("What to do", Object.values(this.tabs)),
      ...Object.values(this.sections), this.said, this.lid());
    el.append(this.root);
    this.open("fault");
    this.paint = this.paint.bind(this);
    model.on("change:view", this.paint);
    this.paint();
  }

  get view() { return this.model.get("view"); }

  ask(what, fields = {}) { this.post.send({ do: what, ...fields }); }

  open(name) {
    for (const [other, tab] of Object.entries(this.tabs)) {
      pressed(tab, other === name);
      this.sections[other].hidden = other !== name;
    }
  }

  option(text, value = text) { return make("option", { value }, text); }

  // --- a fault, by hand or at random

  fault() {
    const { parts, kinds } = this.setting, rows = ["the fault", "and with it, if you like"].map((label) => {
      const part = make("select", { "aria-label": `${label}: part` }, this.option("part …", ""), ...Object.entries(parts).map(([id, about]) => this.option(`${id}  ${about.title}`, id)));
      const fault = make("select", { "aria-label": `${label}: what is wrong with it` });
      const fill = () => fault.replaceChildren(this.option("what is wrong with it …", ""), ...(parts[part.value]?.faults ?? []).map((text) => this.option(text)));
      part.addEventListener("change", fill);
      fill();
      return { node: make("div", { class: "kit-row" }, make("span", {}, `${label}:`), part, fault), part, fault, chosen: () => (fault.value ? [`${part.value} ${fault.value}`] : []), clear: () => { part.value = ""; fill(); } };
    });
    const set = button("Set it, hidden", () => {
      this.ask("set", { faults: rows.flatMap((row) => row.chosen()) });
      // Nothing of it stays on the wall behind you.
      for (const row of rows) row.clear();
      ready();
    }, { class: "kit-main" });
    const ready = () => off(set, !rows.some((row) => row.chosen().length));
    for (const row of rows) for (const node of [row.part, row.fault]) node.addEventListener("change", ready);
    ready();
    const boxes = kinds.map(([kind, number]) => make("label", { class: "kit-tick" }, make("input", { type: "checkbox", value: kind }), make("span", {}, `${kind} (${number})`)));
    const pair = make("input", { type: "checkbox" });
    const chosen = () => boxes.map((label) => label.querySelector("input")).filter((box) => box.checked).map((box) => box.value);
    return [make("p", { class: "kit-soft" }, "By hand: choose before the room looks, or darken the projector. At random nobody needs to look away."),
      ...rows.map((row) => row.node), make("div", { class: "kit-row" }, set, button("Make it sound", () => this.ask("set", { faults: [] }))),
      make("h4", {}, "At random, of these kinds (none ticked: of any)"), make("div", { class: "kit-kinds" }, ...boxes),
      make("div", { class: "kit-row" }, make("label", { class: "kit-tick" }, pair, make("span", {}, "a pair")),
        button("Set one at random", () => this.ask("random", { kinds: chosen(), pair: pair.checked }), { class: "kit-main" }))];
  }

  today() {
    const course = make("input", { type: "text", value: this.setting.course, maxlength: 60, "aria-label": "Course" });
    const day = make("input", { type: "text", value: this.setting.day, maxlength: 10, size: 10, "aria-label": "Day, such as 2031-05-04" });
    return [make("p", {}, "One fault a day, the same for everybody on the course: here, and with kit.today on each learner's own page."),
      make("div", { class: "kit-row" }, make("label", { class: "kit-row" }, "Course", course), make("label", { class: "kit-row" }, "Day", day),
        button("Set it, hidden", () => this.ask("today", { course: course.value.trim(), day: day.value.trim() }), { class: "kit-main" }))];
  }

  // --- a vote without devices

  vote() {
    this.clip = make("select", { "aria-label": "Clip on" });
    this.tip = make("select", { "aria-label": "Tip on" });
    const lamp = button("Ask what the lamp shows there", () => this.ask("vote lamp", { clip: this.clip.value, tip: this.tip.value }), { class: "kit-main" });
    this.asked = make("h4", { class: "kit-asked" });
    this.hands = make("div", { class: "kit-hands" });
    this.tell = button("Reveal", () => this.ask("tell"), { class: "kit-main" });
    this.answer = make("p", { class: "kit-points" });
    this.open_vote = make("div", {}, this.asked, this.hands, make("div", { class: "kit-row" }, this.tell, button("Put the vote away", () => this.ask("end vote"))), this.answer);
    return [make("p", { class: "kit-soft" }, "Set the controls on the bay below, ask, let hands go up, type the counts, then reveal. A prediction comes before the reading."),
      make("div", { class: "kit-row" }, make("span", {}, "Clip on"), this.clip, make("span", {}, "tip on"), this.tip, lamp),
      make("div", { class: "kit-row" }, button("Ask in which stage it is", () => this.ask("vote stage"))), this.open_vote];
  }

  paintVote() {
    const { vote, points } = this.view, listed = points.join(" ");
    if (listed !== this.listed) {
      this.listed = listed;
      for (const node of [this.clip, this.tip]) node.replaceChildren(...points.map((point) => this.option(point)));
      this.clip.value = points.find((point) => point.endsWith(".-")) ?? points[0];
    }
    this.open_vote.hidden = !vote;
    if (!vote) { this.voting = null; return; }
    const all = Object.values(vote.counts).reduce((sum, number) => sum + number, 0), most = Math.max(1, ...Object.values(vote.counts));
    if (vote.asked !== this.voting) {
      this.voting = vote.asked;
      this.asked.textContent = vote.asked;
      this.rows = Object.fromEntries(vote.options.map((option) => {
        const field = make("input", { type: "number", min: 0, max: 999, step: 1, value: vote.counts[option] || "", placeholder: "0", "aria-label": `Hands for ${option}` });
        // As it is typed: a count that waited for the field to be left would leave *Reveal* dead at the first press.
        field.addEventListener("input", () => this.ask("count", { hands: { [option]: Math.round(Number(field.value)) || 0 } }));
        const bar = make("span", { class: "kit-hand-bar", "aria-hidden": "true" }), mark = make("b");
        return [option, { field, bar, mark, node: make("div", { class: "kit-hand" }, make("span", {}, option), field, make("span", { class: "kit-hand-room" }, bar), mark) }];
      }));
      this.hands.replaceChildren(...Object.values(this.rows).map((row) => row.node));
    }
    for (const [option, row] of Object.entries(this.rows)) {
      row.field.readOnly = Boolean(vote.told);
      row.bar.style.width = `${(100 * vote.counts[option]) / most}%`;
      row.mark.textContent = vote.told?.right.includes(option) ? "✓ so it is" : "";
      row.node.classList.toggle("kit-right", Boolean(row.mark.textContent));
    }
    off(this.tell, !all || vote.told);
    this.answer.textContent = vote.told?.words ?? "";
  }

  // --- a record, move by move

  replay() {
    this.folder = make("input", { type: "text", value: this.setting.folder, "aria-label": "Folder with records", class: "kit-long" });
    this.choice = make("select", { "aria-label": "Whose work" });
    const start = button("Put it on the bench", () => { const [learner, job] = JSON.parse(this.choice.value || "[]"); if (job) this.ask("replay", { learner, job }); }, { class: "kit-main" });
    this.found = make("div", { class: "kit-row", hidden: true }, this.choice, start);
    const go = (text, label, to) => button(text, () => { const at = to(this.view.replay); if (at >= 0 && at <= this.view.replay.moves) this.ask("move", { to: at }); }, { "aria-label": label });
    this.slider = make("input", { type: "range", min: 0, step: 1, "aria-label": "Move", class: "kit-slider" });
    this.slider.addEventListener("change", () => this.ask("move", { to: Number(this.slider.value) }));
    this.back = go("◀", "one move back", (replay) => replay.at - 1);
    this.on = go("▶", "one move on", (replay) => replay.at + 1);
    this.moved = make("p", { class: "kit-now" });
    this.of = make("h4");
    this.playing = make("div", { hidden: true }, this.of, make("div", { class: "kit-row" }, this.back, this.on, this.slider, button("End the replay", () => this.ask("end replay"))), this.moved,
      make("p", { class: "kit-soft" }, "At any move the room may go on by itself on the bay below; the next step of the replay puts it back. Records are only read."));
    return [make("div", { class: "kit-row" }, make("label", { class: "kit-row kit-long" }, "Folder", this.folder), button("Look for records", () => this.ask("records", { folder: this.folder.value.trim() }))), this.found, this.playing];
  }

  paintReplay() {
    const { records, replay } = this.view, key = JSON.stringify(records);
    this.found.hidden = !records.length;
    if (key !== this.foundOf) {
      this.foundOf = key;
      this.choice.replaceChildren(...records.map(([learner, job]) => this.option(`${learner}, ${job}`, JSON.stringify([learner, job]))));
    }
    this.playing.hidden = !replay;
    if (!replay) return;
    this.of.textContent = replay.of;
    this.slider.max = replay.moves;
    this.slider.value = replay.at;
    const text = `Move ${replay.at} of ${replay.moves}: ${replay.done}`;
    this.slider.setAttribute("aria-valuetext", text);
    this.moved.replaceChildren(text, ...(replay.shown ? [make("br"), make("span", { class: "kit-shown" }, `→ ${replay.shown}`)] : []));
    off(this.back, replay.at <= 0);
    off(this.on, replay.at >= replay.moves);
  }

  // --- how far a class is

  wall() {
    this.wallFolder = make("input", { type: "text", value: this.setting.folder, "aria-label": "Folder with the class's records", class: "kit-long" });
    this.walled = make("div", { class: "kit-scroll-across" });
    return [make("div", { class: "kit-row" }, make("label", { class: "kit-row kit-long" }, "Folder", this.wallFolder), button("Show how far each is", () => this.ask("wall", { folder: this.wallFolder.value.trim() }), { class: "kit-main" })),
      make("p", { class: "kit-soft" }, "Names are those learners signed in with. Nothing here is a mark, and nothing is written."), this.walled];
  }

  paintWall() {
    const { wall } = this.view, key = JSON.stringify(wall);
    if (key === this.walledOf) return;
    this.walledOf = key;
    if (!wall) { this.walled.replaceChildren(); return; }
    const head = ["learner", ...wall.lessons.map((lesson) => `lesson ${lesson}`), "jobs", "last seen (UTC)"];
    this.walled.replaceChildren(make("table", { class: "kit-wall" }, make("thead", {}, make("tr", {}, ...head.map((text) => make("th", { scope: "col" }, text)))),
      make("tbody", {}, ...wall.rows.map((row) => make("tr", {}, make("th", { scope: "row" }, row.learner, row.troubles ? make("span", { class: "kit-where" }, `${row.troubles} to look at in the files`) : null),
        ...wall.lessons.map((lesson) => make("td", {}, row.lessons[lesson] ?? "–")), make("td", {}, row.jobs.join("; ") || "–"), make("td", {}, row.last))))));
  }

  // --- hidden or told, always in reach

  lid() {
    this.reveal = button("", () => this.ask(this.view.revealed ? "hide" : "reveal"), { class: "kit-reveal", "aria-pressed": "false" });
    this.symptom = make("p", { class: "kit-soft" });
    this.told = make("div", { class: "kit-told" });
    return make("section", {}, this.symptom, make("div", { class: "kit-row" }, this.reveal), this.told);
  }

  paintLid() {
    const { view } = this;
    this.symptom.textContent = view.replay ? "" : `${view.owner ? `The owner says: “${view.owner}” ` : ""}Operated as its manual says: ${view.symptom.join(" ") || "nothing is seen and nothing heard."}`;
    this.reveal.textContent = view.revealed ? "Hide what it is" : "Reveal what it is";
    pressed(this.reveal, view.revealed);
    this.told.replaceChildren(...(view.revealed ?? []).map((one) => make("p", { class: "kit-caution" }, make("b", {}, `${one.fault} `), `(${one.stage}). ${one.looks} Why: ${one.cause}. Cure: ${one.repair}`)),
      ...(view.revealed && !view.revealed.length ? [make("p", { class: "kit-caution" }, "Nothing is wrong with the machine.")] : []));
  }

  paint() {
    const { view } = this;
    this.post.answered(view);
    this.said.textContent = view.said;
    // Said already where it belongs.
    this.said.hidden = view.said === view.vote?.told?.words || Boolean(view.replay && view.said.startsWith("Move "));
    if (this.heard !== undefined && this.heard !== view.said) this.status.textContent = view.said;
    this.heard = view.said;
    this.paintVote();
    this.paintReplay();
    this.paintWall();
    this.paintLid();
    this.root.dataset.number = view.number;
  }

  close() {
    this.model.off("change:view", this.paint);
    this.post.close();
  }
}

function render({ model, el }) {
  const corner = new Corner(model, el);
  return () => corner.close();
}

export default { render };
