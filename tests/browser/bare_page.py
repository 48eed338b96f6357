"""A bay on a page of its own: the same script, style and messages as in JupyterLab, without its seconds."""

import json
from pathlib import Path

from playwright.sync_api import Page

from kit.bay import MachineBay

BAY = Path(__import__("kit.bay").bay.__file__).parent
# What the page around a bay gives it, as JupyterLab's two themes do (their values from memory).
THEMES = {
    "light": {"page": "#ffffff", "layout-color1": "#ffffff", "layout-color2": "#f5f5f5", "border-color1": "#bdbdbd",
              "ui-font-color0": "rgba(0,0,0,0.87)", "ui-font-color1": "rgba(0,0,0,0.87)",
              "ui-font-color2": "rgba(0,0,0,0.54)"},
    "dark": {"page": "#111111", "layout-color1": "#212121", "layout-color2": "#424242", "border-color1": "#616161",
             "ui-font-color0": "#ffffff", "ui-font-color1": "#ffffff", "ui-font-color2": "rgba(255,255,255,0.7)"},
}
START = """async ([source, style, bays]) => {
  document.head.append(Object.assign(document.createElement("style"), { textContent: style }));
  const module = await import(URL.createObjectURL(new Blob([source], { type: "text/javascript" })));
  window.kitModels = bays.map(([state], which) => {
    const heard = {};
    const model = {
      get: (name) => state[name],
      on: (name, done) => { (heard[name] ??= []).push(done); },
      off: (name, done) => { heard[name] = (heard[name] ?? []).filter((other) => other !== done); },
      send: (content) => { window.kitSend(which, JSON.stringify(content)).then((view) => {
        if (!view) return;
        state.view = JSON.parse(view);
        for (const done of heard["change:view"] ?? []) done();
      }); },
    };
    const el = document.createElement("div");
    document.querySelector("main").append(el);
    module.default.render({ model, el });
    return model;
  });
}"""


class BarePage:
    """Bays at work on one page; ``sent`` holds all that went to the browser, ``lose`` swallows messages."""

    def __init__(self, page: Page, *bays: MachineBay, theme: str = "light") -> None:
        self.page, self.bays, self.sent, self.lose, self.arrived = page, bays, [], 0, []
        self.went_wrong: list[str] = []
        page.on("pageerror", lambda error: self.went_wrong.append(str(error)))
        page.set_content('<!doctype html><html lang="en"><title>A bay</title><body><main><h2>A bay</h2></main>')
        self.theme(theme)
        page.expose_function("kitSend", self._send)
        states = [[{"setting": bay.setting, "view": bay.view}] for bay in bays]
        self.sent += [json.dumps(state) for state in states]
        page.evaluate(START, [(BAY / "machine_bay.js").read_text(), (BAY / "bay.css").read_text(), states])

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
        self.sent.append(json.dumps(self.bays[which].view))
        return self.sent[-1]
