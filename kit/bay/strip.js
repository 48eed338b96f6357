// The strip chart on the bench: a piece of paper that lies still, or is written again from its start, and can be
// stopped and stepped. Nothing on it flashes: a chattering relay is a row of strokes. Uses fittings.js.

const PACES = { "as fast as it was": 1, "5 times slower": 0.2, "20 times slower": 0.05 };

const AXIS = 40; // px at the foot of the paper that are always seen: the seconds

class Strip {
  constructor(bay) {
    this.bay = bay;
    this.chart = null;
    this.at = 0;
    this.draw = button("Draw the strip of the last press", () => this.ask(this.last), { class: "kit-draw-strip" });
    this.away = button("Put it away", () => { this.ask(null); this.draw.focus(); });
    this.wait = make("span", { class: "kit-soft" });
    this.body = make("div");
    this.node = make("section", { class: "kit-panel kit-strip" }, make("div", { class: "kit-row" }, make("h4", {}, "Strip chart"), this.draw, this.away, this.wait), this.body);
    this.paint = this.paint.bind(this);
    this.paint();
  }

  // The last line of the sheet a strip can be drawn of.
  get last() { return this.bay.view.sheet.findLast((line) => line.strip)?.number ?? null; }

  ask(number) {
    if (number !== null) this.wait.textContent = "Drawing …";
    this.bay.post.send({ strip: number });
  }

  paint() {
    const chart = this.bay.model.get("strip");
    off(this.draw, this.last === null);
    this.draw.title = this.last === null ? "Hold or press a control that springs back, for some seconds, first." : "";
    this.away.hidden = !chart?.moments;
    if (chart === this.chart) return;
    this.stop();
    this.chart = chart;
    this.wait.textContent = "";
    if (chart?.moments) this.build();
    else this.body.replaceChildren();
  }

  build() {
    const { chart } = this;
    this.at = chart.seconds;
    this.paper = make("div", { class: "kit-drawing kit-paper", tabindex: 0, role: "region", "aria-label": "The strip, drawn" });
    this.play = button("Write it again", () => (this.timer ? this.stop() : this.start()), { class: "kit-play" });
    const step = (text, label, way) => button(text, () => { this.stop(); this.go(this.next(way)); }, { "aria-label": label });
    this.slider = make("input", { type: "range", min: 0, max: chart.seconds, step: 0.01, "aria-label": "Moment on the strip", class: "kit-slider" });
    this.slider.addEventListener("input", () => { this.stop(); this.go(Number(this.slider.value)); });
    this.pace = make("select", { "aria-label": "How fast it is written" }, ...Object.keys(PACES).map((text) => make("option", {}, text)));
    // Told when the hand has stopped, not while the paper runs.
    this.now = make("p", { class: "kit-now" });
    this.moments = make("ol", { class: "kit-moments", "aria-label": "What happened, moment by moment" }, ...chart.moments.map(([at, text]) =>
      make("li", {}, button(`${at.toFixed(2)} s`, () => { this.stop(); this.go(at); }, { "aria-label": `To ${at.toFixed(2)} seconds: ${text}` }), ` ${text}`)));
    const table = chart.rows.length ? make("details", {}, make("summary", {}, "The figures as a table"), make("div", { class: "kit-scroll", tabindex: 0, role: "region", "aria-label": "Figures of the strip" },
      make("table", {}, make("thead", {}, make("tr", {}, ...["seconds", ...chart.figures.map((figure) => figure.name)].map((text) => make("th", { scope: "col" }, text)))),
        make("tbody", {}, ...chart.rows.map(([at, ...texts]) => make("tr", {}, make("th", { scope: "row" }, at.toFixed(1)), ...texts.map((text) => make("td", {}, text)))))))) : null;
    const running = chart.svg ? [this.paper] : [];
    this.body.replaceChildren(...[make("p", { class: "kit-soft" }, chart.about), ...running,
      make("div", { class: "kit-row" }, this.play, step("◀ step", "one moment back", -1), step("step ▶", "one moment on", 1), this.slider, this.pace), this.now, this.moments, table].filter(Boolean));
    this.ink();
    this.go(chart.seconds);
  }

  ink() {
    const { chart } = this;
    if (!chart?.svg) return;
    this.paper.innerHTML = inked(chart.svg, this.bay.setting.inks);
    const svg = this.paper.querySelector("svg"), height = svg.viewBox.baseVal.height;
    Object.assign(svg.style, { maxWidth: "none", height: "" });
    // What is not yet written lies under this; the line is the pen.
    this.cover = draw("rect", { y: 0, height: height - AXIS, class: "kit-unwritten" });
    this.pen = draw("line", { y1: 0, y2: height - AXIS, class: "kit-pen" });
    svg.append(this.cover, this.pen);
    this.put();
  }

  x(at) { return this.chart.from + (at / this.chart.seconds) * (this.chart.to - this.chart.from); }

  // Where a step leads: what happened next, or a quarter of a second on.
  next(way) {
    const there = this.chart.moments.map(([at]) => at).filter((at) => (at - this.at) * way > 0.005), step = this.at + way * 0.25;
    const nearest = way > 0 ? Math.min(...there, step) : Math.max(...there, step);
    return Math.min(Math.max(nearest, 0), this.chart.seconds);
  }

  go(at) {
    this.at = at;
    this.put();
  }

  put() {
    const { chart, at } = this, whole = at >= chart.seconds - 0.005;
    if (this.cover) {
      const x = this.x(at);
      this.cover.setAttribute("x", x);
      this.cover.setAttribute("width", Math.max(0, chart.to + 2 - x));
      for (const name of ["x1", "x2"]) this.pen.setAttribute(name, x);
      this.pen.style.display = whole ? "none" : "";
      // On a narrow page the paper moves along under the pen.
      if (!whole) this.paper.scrollLeft = x - 0.8 * this.paper.clientWidth;
    }
    const shown = chart.figures.map((figure) => `${figure.name} ${(figure.kept.findLast(([moment]) => moment <= at + 1e-6) ?? figure.kept[0])[1]}`);
    const last = chart.moments.findLast(([moment]) => moment <= at + 1e-6);
    const text = `${at.toFixed(2)} s${shown.length ? `: ${shown.join(", ")}` : ""}.${last ? ` ${last[1]}` : ""}`;
    this.now.textContent = text;
    this.slider.value = at;
    this.slider.setAttribute("aria-valuetext", text);
    [...this.moments.children].forEach((line, place) => line.classList.toggle("kit-past", chart.moments[place][0] <= at + 1e-6));
  }

  start() {
    if (this.at >= this.chart.seconds - 0.005) this.at = 0;
    // Who wants no motion gets it in pieces of half a second.
    const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
    let last = performance.now();
    this.play.textContent = "Stop the paper";
    this.timer = setInterval(() => {
      const now = performance.now();
      this.at = Math.min(this.at + ((now - last) / 1000) * PACES[this.pace.value], this.chart.seconds);
      last = now;
      this.put();
      if (this.at >= this.chart.seconds) this.stop();
    }, calm ? 500 : 40);
  }

  stop() {
    clearInterval(this.timer);
    this.timer = null;
    if (!this.play) return;
    this.play.textContent = this.at > 0 && this.at < this.chart.seconds - 0.005 ? "Go on writing" : "Write it again";
  }

  close() { clearInterval(this.timer); }
}

