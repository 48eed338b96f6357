// The test sheet: the readings so far, some of them ticked. Uses fittings.js.

class Sheet {
  constructor(bay) {
    this.bay = bay;
    this.ticked = new Set();
    this.rows = [];
    this.lines = make("tbody");
    this.spent = make("span", { class: "kit-soft" });
    this.nothingYet = make("p", { class: "kit-soft" }, `Nothing yet. What you do and what it shows is written here.${bay.setting.card ? "" : " Practice starts afresh whenever the page is opened anew."}`);
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
