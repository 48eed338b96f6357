// The bay on the screen. `setting` comes once, `view` follows every act; acts go out as messages, so none is lost.
//
// The bay holds a Picture, a Tray, Controls, a PartPanel, a Sheet, a Strip and a Card, each in its own file; what every
// widget has stands in fittings.js. Python puts them in front (scripts.py).

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
    const { review, unmarked, number } = this.view, shown = review ? "mark" : unmarked && `${number} ${unmarked}`;
    if (shown === (this.reviewShown ?? "")) return;
    this.reviewShown = shown;
    if (!review) {
      this.reviewed.replaceChildren(...(unmarked ? this.unmarked(unmarked) : []));
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

  // The mark could not be worked out: that is said, and what can be done.
  unmarked(words) {
    const told = make("p", { class: "kit-caution", tabindex: -1 }, words);
    if (this.card.waiting.textContent) setTimeout(() => { told.focus({ preventScroll: true }); told.scrollIntoView({ block: "nearest" }); });
    this.card.waiting.textContent = "";
    return [told, make("div", { class: "kit-row" },
      button("Try once more", (node) => { off(node, true); this.card.waiting.textContent = GOING_THROUGH; this.post.send({ mark: true }); }),
      button("Work it again, for practice", () => this.send("again")))];
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
