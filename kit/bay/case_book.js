// The case library: `setting` has what may be known of each case, `view` what was found, `told` what was opened.
// Fittings stand in fittings.js.

const AT_FIRST = 12, WAIT_MS = 250, NARROW = 560;
let books = 0;

class CaseBook {
  constructor(model, el) {
    this.model = model;
    this.setting = model.get("setting");
    this.name = `kit-cases-${books += 1}`;
    this.unfolded = new Set();
    this.most = AT_FIRST;
    this.kind = "";
    this.root = make("div", { class: "kit-bay kit-cases", role: "group", tabindex: -1, "aria-label": "Case library" });
    keepKeys(this.root);
    this.heard = make("p", { class: "kit-heard", role: "status" });
    const [link, waits] = linkLine(this.heard);
    this.post = new Post(model, waits);
    this.list = make("div", { class: "kit-case-list" });
    this.count = make("p", { class: "kit-soft" });
    this.help = make("p", { class: "kit-caution", hidden: true });
    this.more = button("Show more", () => { this.most += 2 * AT_FIRST; this.paintList(); });
    this.root.append(make("h3", {}, this.tells ? "Case library, everything told" : "Case library"), this.heard, link, ...this.asks(), this.count, this.help, this.list,
      make("div", { class: "kit-row" }, this.more));
    this.list.addEventListener("keydown", (event) => this.walk(event));
    el.append(this.root);
    // On a narrow page the symptoms would push what is found off it.
    if (this.root.clientWidth && this.root.clientWidth < NARROW) this.symptoms.open = false;
    this.paint = this.paint.bind(this);
    this.paintList = this.paintList.bind(this);
    model.on("change:view", this.paint);
    model.on("change:told", this.paintList);
    this.paint();
  }

  get view() { return this.model.get("view"); }

  get tells() { return this.setting.sight === "tell-all"; }

  close() {
    this.model.off("change:view", this.paint);
    this.model.off("change:told", this.paintList);
    this.post.close();
  }

  // --- asking

  asks() {
    this.typed = make("input", { type: "text", maxlength: 200, autocomplete: "off", class: "kit-long", placeholder: "such as: clatter, lamps dim", "aria-label": "What you see or hear, in your own words" });
    this.typed.addEventListener("input", () => { clearTimeout(this.timer); this.timer = setTimeout(() => this.look(), WAIT_MS); });
    this.typed.addEventListener("keydown", (event) => {
      if (event.key === "Enter") this.look();
      if (event.key === "Escape" && this.typed.value) { this.typed.value = ""; this.look(); }
    });
    const option = (text, value = text) => make("option", { value }, text);
    this.machine = make("select", { "aria-label": "Machine" }, option("every machine", ""), ...Object.entries(this.setting.machines).map(([id, title]) => option(title, id)));
    this.stage = make("select", { "aria-label": "Stage, of open cases" });
    const stages = () => {
      const names = this.machine.value ? this.setting.stages[this.machine.value] : [...new Set(Object.values(this.setting.stages).flat())].sort();
      const kept = this.stage.value;
      this.stage.replaceChildren(option("every stage", ""), ...names.map((name) => option(name)));
      this.stage.value = names.includes(kept) ? kept : "";
    };
    stages();
    this.machine.addEventListener("change", () => { stages(); this.look(); });
    this.stage.addEventListener("change", () => this.look());
    this.chips = Object.entries(this.setting.kinds).filter(([, number]) => number).map(([kind, number]) => button(`${kind} (${number})`, () => { this.kind = this.kind === kind ? "" : kind; this.look(); }, { "data-kind": kind, "aria-pressed": "false" }));
    this.mine = button("Only mine", (node) => { pressed(node, node.getAttribute("aria-pressed") !== "true"); this.look(); }, { "aria-pressed": "false", hidden: !Object.values(this.setting.cases).some((one) => one.yours) });
    const clear = button("Clear", () => { this.typed.value = this.machine.value = this.kind = ""; stages(); this.stage.value = ""; pressed(this.mine, false); this.look(); });
    return [make("div", { class: "kit-row" }, make("label", { class: "kit-row kit-long" }, "I see or hear", this.typed), this.machine, this.stage, this.mine, clear),
      this.symptoms = make("details", { open: true }, this.summary = make("summary"), toolbar("Kinds of symptom", this.chips))];
  }

  look() {
    clearTimeout(this.timer);
    this.most = AT_FIRST;
    this.post.send({ look: {
      typed: this.typed.value, kind: this.kind, machine: this.machine.value, stage: this.stage.value,
      mine: this.mine.getAttribute("aria-pressed") === "true",
    } });
  }

  // Up and down go from case to case; the tab key goes into the one that is unfolded.
  walk(event) {
    const step = { ArrowDown: 1, ArrowUp: -1, Home: -Infinity, End: Infinity }[event.key];
    if (!step || !event.target.matches(".kit-case-head")) return;
    event.preventDefault();
    const heads = [...this.list.querySelectorAll(".kit-case-head")], at = heads.indexOf(event.target) + step;
    heads[Math.min(Math.max(at, 0), heads.length - 1)].focus();
  }

  // --- what was found

  paint() {
    const { view } = this;
    this.post.answered(view);
    for (const chip of this.chips) pressed(chip, chip.dataset.kind === view.asked.kind);
    this.summary.textContent = view.asked.kind ? `Symptom: ${view.asked.kind}` : "Symptoms to choose from";
    const number = view.found.length;
    this.count.textContent = `${number} ${number === 1 ? "case" : "cases"}${number < Object.keys(this.setting.cases).length ? "" : ", all there are"}.${number ? " Press one to unfold it; arrows go from one to the next." : ""}`;
    this.help.textContent = [view.said, view.help].filter(Boolean).join(" ");
    this.help.hidden = !this.help.textContent;
    const heard = [`${number} ${number === 1 ? "case" : "cases"}.`, this.help.textContent].join(" ");
    if (heard !== this.said) { this.said = heard; this.heard.textContent = heard; }
    this.paintList();
    this.root.dataset.number = view.number;
  }

  paintList() {
    const at = document.activeElement?.closest?.("[data-focus]")?.dataset.focus, inside = this.list.contains(document.activeElement);
    const shown = this.view.found.slice(0, this.most);
    this.list.replaceChildren(...shown.map((id) => this.row(id)));
    const left = this.view.found.length - shown.length;
    this.more.hidden = !left;
    this.more.textContent = `Show ${Math.min(left, 2 * AT_FIRST)} more of ${left}`;
    // What was pressed may be gone now: its case is still there.
    if (inside && at) (this.list.querySelector(`[data-focus="${at}"]`) ?? this.list.querySelector(`[data-focus="head ${at.replace(/^\S+ /, "")}"]`))?.focus();
  }

  standing(id) { return this.setting.cases[id].yours ? "open" : this.view.standing[this.setting.cases[id].card]; }

  row(id) {
    const known = this.setting.cases[id], told = this.model.get("told")[id], open = this.unfolded.has(id);
    const words = known.yours ? `yours, ${known.yours}` : { closed: `closed until you hand back ${known.card}`, folded: "", open: this.tells ? known.name : "open" }[this.standing(id)];
    const part = `${this.name}-${id.replace(/\W/g, "-")}`;
    const head = make("button", { type: "button", class: "kit-case-head", "aria-expanded": String(open), "aria-controls": part, "data-focus": `head ${id}`, onclick: () => { this.unfolded[open ? "delete" : "add"](id); if (!open && (known.yours || this.tells) && !told) this.post.send({ open: id }); this.paintList(); } },
      make("span", { class: "kit-case-card" }, known.card), make("span", { class: "kit-case-says" }, `“${known.complaint}”`),
      make("span", { class: "kit-case-about" }, [known.machine, known.kinds.join(", ")].join(" · ")), words ? make("span", { class: "kit-case-state" }, words) : null);
    return make("article", { class: "kit-case", "data-case": id, "data-yours": Boolean(known.yours) }, make("h4", {}, head),
      make("div", { id: part, class: "kit-case-body", hidden: !open }, ...(open ? this.body(id, known, told) : [])));
  }

  body(id, known, told) {
    const moved = known.moves.map((move, at) => (at ? `then ${move}` : move)).join("; ");
    const before = [this.field(`Seen and heard (${moved})`, known.noticed), known.sound.length ? this.field("Where a sound one differs", known.sound) : null];
    if (told) return [...before, ...(known.yours ? this.own(id, told) : this.case(told))];
    if (known.yours || this.tells) return [...before, make("p", { class: "kit-soft" }, "Being worked out …")];
    if (this.standing(id) === "closed") {
      return [...before, make("p", { class: "kit-caution" }, `Work card ${known.card} first (lesson ${this.setting.lessons[known.card]}): the case opens when you hand it back.`)];
    }
    const open = button("Open the case", () => { if (!isOff(open)) { off(open, true); this.post.send({ open: id }); } }, { class: "kit-main", "data-focus": `open ${id}` });
    return [...before, make("p", {}, "What would you suspect, and which one test would show it? Decide, then open."),
      make("div", { class: "kit-row" }, open, this.standing(id) === "open" ? null : make("span", { class: "kit-soft" }, "Or work it as a job first: type ", make("code", {}, `kit.job("${known.card}")`), " in a cell. Opening it is noted as help on that card."))];
  }

  field(title, lines) {
    const texts = lines.filter(Boolean);
    if (!texts.length) return null;
    return make("div", { class: "kit-case-field" }, make("h5", {}, title), texts.length === 1 ? make("p", {}, texts[0]) : make("ul", {}, ...texts.map((text) => make("li", {}, text))));
  }

  table(heads, rows) {
    return make("table", { class: "kit-sheet kit-case-table" }, make("thead", {}, make("tr", {}, ...heads.map((head) => make("th", { scope: "col" }, head)))),
      make("tbody", {}, ...rows.map((row) => make("tr", {}, ...row.map((cell, at) => make("td", { "data-title": heads[at] }, ...[cell].flat()))))));
  }

  case(told) {
    const blamed = told.blamed.length ? this.table(["Were it", "to eye and ear", "what speaks against it"], told.blamed.map((one) => [one.fault, one.ear, one.against.map((text) => make("p", {}, text))])) : make("p", {}, told.unblamed);
    return [make("h5", { class: "kit-case-name" }, `${told.name} · stage: ${told.stage}`), this.field("What it was, root cause first", told.faults), this.field("To see and feel there", told.felt),
      make("div", { class: "kit-case-field" }, make("h5", {}, `What was tried wrongly: ${told.wrongly}`), make("p", {}, told.why), blamed),
      make("div", { class: "kit-case-field" }, make("h5", {}, "Take care"), make("div", { class: "kit-caution" }, ...told.cautions.map((text) => make("p", {}, text)))),
      make("div", { class: "kit-case-field" }, make("h5", {}, "What decides"), this.table(["Test", "the machine stands", "here", "put right"], told.tests.map((test) => [test.done, test.stands || "see the test", make("b", {}, test.here), test.sound || "not computed"]))),
      this.field("Why it failed", [told.cause]), this.field("Repair", [told.repair]), this.field("How it was proved", [told.proved]), this.field("Trained by", [`Job card ${told.card}: kit.job("${told.card}")`])];
  }

  own(id, told) {
    const marks = told.marks, show = button("Show the marks again", () => { off(show, true); this.post.send({ marks: id }); }, { "data-focus": `marks ${id}` });
    return [this.field("Suspected first", [told.first]), this.field(`Readings ticked as proof, of ${told.readings} taken`, told.ticked), this.field("Finding", told.finding), this.field("Cause", told.cause),
      this.field("Repair", told.repaired), this.field("Told to the owner", [told.to_owner]), this.field("Minutes on the card", [`${told.minutes.toFixed(1)}`]),
      marks ? this.field(`Marks: ${marks.points} of ${marks.of}${marks.passed ? ", passed" : ", not yet a pass"}`, marks.lines) : make("div", { class: "kit-row" }, show)];
  }
}

function render({ model, el }) {
  const book = new CaseBook(model, el);
  return () => book.close();
}

export default { render };
