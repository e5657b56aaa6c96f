/* The drawing board: what forms and links cannot do by themselves.
 *
 * Arrow keys over the plan, strokes of many cells, undo by keyboard, and keeping the focus, the
 * scroll and what is unfolded when the server sends the board anew. Without it all still works.
 * One step is on its way at a time; what is tapped meanwhile waits, and moves along with the plan.
 */
(() => {
  "use strict";

  const board = () => document.getElementById("board");
  const grid = () => document.getElementById("grid");
  const buttons = () => [...grid().querySelectorAll("button")];

  let busy = false;
  let waiting = [];
  let kept = null;

  /* --- One step at a time --- */

  function cellOf(button) {
    const [row, col, side] = button.value.split(",");
    return { row: Number(row), col: Number(col), side: side || "" };
  }

  function buttonAt({ row, col, side }) {
    const id = ["at", row, col].join("-").replace(/--/g, "-n") + (side ? `-${side}` : "");
    return document.getElementById(id);
  }

  document.addEventListener("submit", (event) => {
    if (!busy || !event.target.closest("#board")) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    const by = event.submitter;
    if (!by) return;
    waiting.push(by.closest("#grid") ? { at: cellOf(by) } : { id: by.id });
  }, true);

  function next() {
    const step = waiting.shift();
    if (!step) return;
    const button = step.at ? buttonAt(step.at) : step.id && document.getElementById(step.id);
    if (button && !button.disabled) button.click();
    else next();
  }

  /* The view of a large design comes by itself, later: that is no step. */
  const isStep = (event) => event.detail.target && event.detail.target.id === "board";

  document.addEventListener("htmx:beforeRequest", (event) => {
    if (!isStep(event)) return;
    busy = true;
    kept = {
      open: [...board().querySelectorAll("details[id]")].map((one) => [one.id, one.open]),
      left: document.getElementById("plan-box").scrollLeft,
      top: document.getElementById("plan-box").scrollTop,
      inGrid: grid().contains(document.activeElement),
    };
  });

  /* No answer, or none that can be shown: say so, and forget what waited for it. */
  document.addEventListener("htmx:afterRequest", (event) => {
    const status = event.detail.xhr.status;
    if (!isStep(event) || event.detail.successful || status === 422) return;
    busy = false;
    waiting = [];
    kept = null;
    document.getElementById("lost").hidden = false;
  });

  /* Not at afterSwap: until it settles, htmx lets what is new wear the attributes of the old. */
  document.addEventListener("htmx:afterSettle", () => {
    if (!kept) return;
    const rows = Number(board().dataset.movedRows);
    const cols = Number(board().dataset.movedCols);
    for (const step of waiting) {
      if (step.at) step.at = { ...step.at, row: step.at.row + rows, col: step.at.col + cols };
    }
    for (const [id, open] of kept.open) {
      const one = document.getElementById(id);
      if (one && !one.querySelector(".errorlist")) one.open = open;
    }
    const box = document.getElementById("plan-box");
    const cell = grid().querySelector("td");
    const pitch = cell ? cell.offsetWidth : 0;
    box.scrollLeft = kept.left + cols * pitch;
    box.scrollTop = kept.top + rows * pitch;
    if (kept.inGrid) {
      const target = document.getElementById(board().dataset.focus || "");
      if (target) target.focus({ preventScroll: true });
    }
    kept = null;
    prepare();
    busy = false;
    next();
  });

  /* --- Keys: the plan is one stop of the tab key, arrows go about in it --- */

  function prepare() {
    const all = buttons();
    const now = all.find((one) => one === document.activeElement) || all.find(
      (one) => one.getAttribute("aria-pressed") === "true") || all[0];
    for (const one of all) one.tabIndex = one === now ? 0 : -1;
    const box = document.getElementById("plan-box");
    box.classList.toggle("fits", box.scrollWidth <= box.clientWidth);
    if (now) reveal(now, box);
  }

  /* Of a plan larger than its box, show the part where there is something to press. */
  function reveal(button, box) {
    const [x, y] = middle(button);
    const seen = box.getBoundingClientRect();
    if (x < seen.left || x > seen.right) box.scrollLeft += x - (seen.left + seen.width / 2);
    if (y < seen.top || y > seen.bottom) box.scrollTop += y - (seen.top + seen.height / 2);
  }

  const WAYS = { ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };

  function middle(one) {
    const box = one.getBoundingClientRect();
    return [box.x + box.width / 2, box.y + box.height / 2];
  }

  /* The nearest button that way; what lies to the side counts twice. */
  function beyond(from, [right, down]) {
    const [x, y] = middle(from);
    let best = null;
    let least = Infinity;
    for (const one of buttons()) {
      const [ox, oy] = middle(one);
      const along = (ox - x) * right + (oy - y) * down;
      const aside = Math.abs((ox - x) * down) + Math.abs((oy - y) * right);
      if (along < 4) continue;
      if (along + 2 * aside < least) [best, least] = [one, along + 2 * aside];
    }
    return best;
  }

  document.addEventListener("keydown", (event) => {
    const from = document.activeElement;
    if (event.key in WAYS && grid() && grid().contains(from) && from.tagName === "BUTTON") {
      event.preventDefault();
      const to = beyond(from, WAYS[event.key]);
      if (!to) return;
      from.tabIndex = -1;
      to.tabIndex = 0;
      to.focus();
    }
    const typing = from && /^(INPUT|TEXTAREA|SELECT)$/.test(from.tagName);
    if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z" && !typing) {
      event.preventDefault();
      const id = event.shiftKey ? "redo" : "undo";
      if (busy) waiting.push({ id });
      else if (!document.getElementById(id).disabled) document.getElementById(id).click();
    }
  });

  document.addEventListener("focusin", (event) => {
    if (!event.target.closest("#grid") || event.target.tagName !== "BUTTON") return;
    for (const one of buttons()) one.tabIndex = one === event.target ? 0 : -1;
  });

  /* --- Strokes: press on a cell and pull over others --- */

  let stroke = null;
  let afterStroke = false;

  const cellUnder = (event) => {
    const under = document.elementFromPoint(event.clientX, event.clientY);
    return under && under.closest("#grid button[name=cell]");
  };

  document.addEventListener("pointerdown", (event) => {
    const start = event.target.closest("#grid button[name=cell]");
    afterStroke = false;
    if (!start || busy || event.button) return;
    if (event.pointerType !== "mouse" && !document.querySelector(".plan-box.fits")) return;
    start.releasePointerCapture?.(event.pointerId);
    stroke = { cells: new Set([start]), floor: start.getAttribute("aria-pressed") !== "true" };
  });

  document.addEventListener("pointermove", (event) => {
    if (!stroke) return;
    const cell = cellUnder(event);
    if (!cell || stroke.cells.has(cell)) return;
    stroke.cells.add(cell);
    for (const one of stroke.cells) one.classList.add(stroke.floor ? "will-be" : "will-go");
  });

  document.addEventListener("pointerup", () => {
    const done = stroke;
    stroke = null;
    if (!done || done.cells.size < 2) return;
    afterStroke = true;
    const form = grid().closest("form");
    window.htmx.ajax("POST", form.action, {
      source: form,
      target: "#board",
      swap: "outerHTML",
      values: {
        cells: [...done.cells].map((one) => one.value).join(" "),
        floor: done.floor ? "on" : "",
      },
    });
  });

  document.addEventListener("pointercancel", () => {
    for (const one of stroke ? stroke.cells : []) one.classList.remove("will-be", "will-go");
    stroke = null;
  });

  document.addEventListener("click", (event) => {
    if (!afterStroke || !event.target.closest("#grid")) return;
    afterStroke = false;
    event.preventDefault();
    event.stopImmediatePropagation();
  }, true);

  prepare();
  window.addEventListener("resize", prepare);
})();
