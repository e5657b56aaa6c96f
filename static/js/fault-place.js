/* A tap on a drawn floor says where a fault is. Without this script the part is chosen in words. */
(() => {
  "use strict";

  const form = document.querySelector("[data-fault-form]");
  if (!form) return;
  const SVG = "http://www.w3.org/2000/svg";
  const fields = Object.fromEntries(["z", "x_mm", "y_mm", "part"].map((name) => [name, form.elements[name]]));
  const said = document.getElementById("announce");

  for (const floor of form.querySelectorAll("[data-floor]")) {
    const drawing = floor.querySelector("svg");
    drawing.setAttribute("data-can-tap", "");
    drawing.addEventListener("click", (event) => tapped(floor, drawing, event));
  }
  for (const hint of form.querySelectorAll("[data-tap-hint]")) hint.hidden = false;
  fields.part.addEventListener("change", () => forget());
  markAgain();

  function tapped(floor, drawing, event) {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(drawing.getScreenCTM().inverse());
    const scale = Number(floor.dataset.mmPerUnit);
    forget();
    fields.z.value = floor.dataset.floor;
    fields.x_mm.value = Math.round(at.x * scale);
    fields.y_mm.value = Math.round(at.y * scale);
    fields.part.value = "";
    mark(drawing, at);
    said.textContent = interpolate(gettext("Marked on this floor: %(floor)s."), { floor: floor.dataset.words }, true);
  }

  /* A form that was refused comes back with the place that was tapped. */
  function markAgain() {
    const floor = form.querySelector(`[data-floor="${fields.z.value}"]`);
    if (!floor || fields.x_mm.value === "") return;
    const scale = Number(floor.dataset.mmPerUnit);
    mark(floor.querySelector("svg"), { x: fields.x_mm.value / scale, y: fields.y_mm.value / scale });
  }

  function mark(drawing, at) {
    for (const [name, radius] of [["tapped-ring", 11], ["tapped-ring", 2]]) {
      const ring = document.createElementNS(SVG, "circle");
      ring.setAttribute("class", name);
      ring.setAttribute("cx", at.x);
      ring.setAttribute("cy", at.y);
      ring.setAttribute("r", radius);
      drawing.append(ring);
    }
  }

  function forget() {
    for (const name of ["z", "x_mm", "y_mm"]) fields[name].value = "";
    for (const ring of form.querySelectorAll(".tapped-ring")) ring.remove();
  }
})();
