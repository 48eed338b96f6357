// The job card in its fixed form, one section at a time: what comes before the tests stands above the bench, what
// comes after them below the test sheet. Uses fittings.js.

const GOING_THROUGH = "Going through your work …";

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
    // Before a part can be named, a suspicion of a stage, or a plain note, is worth its line as well.
    const check = () => off(note, !why.value.trim() || bay.still);
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
    return make("div", {}, make("p", { class: "kit-soft" }, `Tick the lines of the test sheet that prove it, then state it. Mend only what you have proved; a fuse is a symptom.${this.about.apart ? " A second fault is stated here like the first, and its cause too." : ""}`),
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
    this.tried = make("input", { type: "text", maxlength: 300, "aria-label": "What you tried, and what it did", class: "kit-long" });
    this.verify = button("Verified: the owner's complaint is gone", () => this.bay.send("verify", { text: this.tried.value.trim() }));
    this.verified = make("p", { class: "kit-soft" });
    return make("div", {}, make("p", {}, this.about.form["Verify"]),
      make("div", { class: "kit-row" }, make("span", {}, "What you tried, and what it did:"), this.tried), make("div", { class: "kit-row" }, this.verify), this.verified);
  }

  explain() {
    const { bay } = this;
    this.told = make("textarea", { rows: 3, maxlength: 2000, class: "kit-words", "aria-label": "What you tell the owner" });
    this.say = button("Keep this", () => { if (this.told.value.trim()) bay.send("explain", { text: this.told.value.trim() }); });
    this.handBack = button("Hand the machine back", () => {
      off(this.handBack, true);
      this.waiting.textContent = GOING_THROUGH;
      bay.send("hand back");
    }, { class: "kit-main" });
    this.waiting = make("span", { class: "kit-soft", role: "status" });
    return make("div", {}, make("p", {}, "Tell the owner what it was, what you did and what to watch for, in words that need no workshop:"), this.told,
      make("div", { class: "kit-row" }, this.say, this.handBack, this.waiting));
  }

  clear() {
    this.waiting.textContent = this.told.value = this.tried.value = "";
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
      // Where there can be two, each that was stated stays to be seen; what was said of a part last counts.
      const parts = this.about.apart ? Object.fromEntries(view.findings.filter((finding) => finding.role === role).map((finding) => [finding.part, finding])) : { last };
      this.chosen[role].said.textContent = last ? `Stated: ${Object.values(parts).map(({ part, fault }) => `${part} ${fault}`).join("; ")}.${last.lines ? "" : " No line of the test sheet was ticked with it: tick, and state it again."}` : "";
      this.chosen[role].ready();
    }
    this.noted.replaceChildren(...view.notes.map((note) => make("li", {}, note.part ? `${[note.part, note.fault].filter(Boolean).join(" ")}, because ${note.text}` : note.text)));
    this.repaired.replaceChildren(...view.repaired.map((text) => make("li", {}, text)));
    this.referred.textContent = view.referred ? `Referred: ${view.referred}` : "";
    if (!this.told.value && view.explained) this.told.value = view.explained;
    this.checkNote();
    this.checkRefer();
    off(this.verify, still || view.verified);
    this.verified.textContent = view.verified ? "Written down as verified. Whoever mends again verifies again." : view.not_yet;
    off(this.say, still);
    off(this.handBack, still);
    // As well for a page that was opened anew meanwhile.
    if (view.over && !view.review && !view.unmarked) this.waiting.textContent = GOING_THROUGH;
  }
}
