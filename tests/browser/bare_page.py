"""Widgets on a page of their own: the same scripts, style and messages as in JupyterLab, without its seconds."""

import json
from pathlib import Path

from anywidget import AnyWidget
from playwright.sync_api import Page

BAY = Path(__import__("kit.bay").bay.__file__).parent
# What the page around a bay gives it, as JupyterLab's two themes do (their values from memory).
THEMES = {
    "light": {"page": "#ffffff", "layout-color1": "#ffffff", "layout-color2": "#f5f5f5", "border-color1": "#bdbdbd",
              "ui-font-color0": "rgba(0,0,0,0.87)", "ui-font-color1": "rgba(0,0,0,0.87)",
              "ui-font-color2": "rgba(0,0,0,0.54)"},
    "dark": {"page": "#111111", "layout-color1": "#212121", "layout-color2": "#424242", "border-color1": "#616161",
             "ui-font-color0": "#ffffff", "ui-font-color1": "#ffffff", "ui-font-color2": "rgba(255,255,255,0.7)"},
}
START = """async ([style, widgets]) => {
  document.head.append(Object.assign(document.createElement("style"), { textContent: style }));
  window.kitStates = [];
  for (const [which, [source, state]] of widgets.entries()) {
    const module = await import(URL.createObjectURL(new Blob([source], { type: "text/javascript" })));
    const heard = {};
    const model = {
      get: (name) => state[name],
      on: (name, done) => { (heard[name] ??= []).push(done); },
      off: (name, done) => { heard[name] = (heard[name] ?? []).filter((other) => other !== done); },
      send: (content) => { window.kitSend(which, JSON.stringify(content)).then((told) => {
        for (const [other, values] of Object.entries(JSON.parse(told ?? "{}"))) window.kitStates[other](values);
      }); },
    };
    window.kitStates.push((values) => {
      Object.assign(state, values);
      for (const name of Object.keys(values)) for (const done of [...heard[`change:${name}`] ?? []]) done();
    });
    const el = document.createElement("div");
    document.querySelector("main").append(el);
    module.default.render({ model, el });
  }
}"""


class BarePage:
    """Widgets at work on one page; ``sent`` holds every view that went to the browser, ``others`` all the rest that
    did, ``lose`` swallows messages."""

    def __init__(self, page: Page, *bays: AnyWidget, theme: str = "light") -> None:
        self.page, self.bays, self.lose, self.arrived = page, bays, 0, []
        self.went_wrong: list[str] = []
        page.on("pageerror", lambda error: self.went_wrong.append(str(error)))
        page.set_content('<!doctype html><html lang="en"><title>A bay</title><body><main><h2>A bay</h2></main>')
        self.theme(theme)
        page.expose_function("kitSend", self._send)
        self._known = [own_traits(bay) for bay in bays]
        self.sent, self.others = [json.dumps(state) for state in self._known], []
        widgets = [[bay._esm, state] for bay, state in zip(bays, self._known, strict=True)]
        page.evaluate(START, [(BAY / "bay.css").read_text(), widgets])

    def theme(self, name: str) -> None:
        """Turn the page light or dark."""
        self.page.evaluate("""([name, colours]) => {
          document.body.dataset.jpThemeLight = String(name === "light");
          const ink = colours["ui-font-color0"];
          Object.assign(document.body.style, { margin: "8px", background: colours.page, color: ink });
          for (const [of, value] of Object.entries(colours)) document.body.style.setProperty(`--jp-${of}`, value);
        }""", [name, THEMES[name]])

    def _send(self, which: int, content: str) -> str | None:
        self.arrived.append(json.loads(content))
        if self.lose:
            self.lose -= 1
            return None
        self.bays[which]._handle_custom_msg(json.loads(content), [])
        told = {}
        for number, bay in enumerate(self.bays):
            now = own_traits(bay)
            # A view that answers is sent even where nothing of it has changed.
            told[number] = {name: value for name, value in now.items()
                            if value != self._known[number][name] or (name == "view" and number == which)}
            self._known[number] = now
            self.others += [json.dumps(value) for name, value in told[number].items() if name != "view"]
            if "view" in told[number]:
                self.sent.append(json.dumps(now["view"]))
        return json.dumps(told)


def own_traits(bay: AnyWidget) -> dict:
    """What a widget sends of its own."""
    common = AnyWidget.class_trait_names()
    return {name: getattr(bay, name) for name in bay.trait_names(sync=True) if name not in common and name[0] != "_"}
