// Says that the kernel is awake. Running a page would leave Jupyter at its end; this leaves the reader where they pressed.

const FRESH_MS = 30000;

function render({ model, el }) {
  const line = document.createElement("p");
  line.className = "kit-ready";
  line.setAttribute("role", "status");
  line.textContent = `✓ ${model.get("words")}`;
  el.append(line);
  if (Date.now() - model.get("made") < FRESH_MS) stayHere(el);
}

// After running a page Jupyter scrolls to the cell it holds for the current one: the last. A press on this cell makes it
// this one instead.
function stayHere(el, tries = 40) {
  const cell = el.closest(".jp-Cell");
  if (!cell) {
    // Not yet on the page.
    if (tries > 0) setTimeout(stayHere, 50, el, tries - 1);
    return;
  }
  const margin = cell.querySelector(".jp-InputPrompt") ?? cell;
  for (const name of ["mousedown", "mouseup"]) margin.dispatchEvent(new MouseEvent(name, { bubbles: true, button: 0 }));
  cell.scrollIntoView({ block: "center" });
}

export default { render };
