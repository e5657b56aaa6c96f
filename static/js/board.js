/* The drawing board: what forms and links cannot do by themselves.
 *
 * Keeping the scroll, the focus and what is unfolded when the server sends the board again, arrow
 * keys over the plan, and undo by keyboard. Strokes and fingers are in board-hand.js. Without
 * either all still works, one cell at a time.
 * One step is on its way at a time; what is tapped meanwhile waits, and moves along with the plan.
 */
(() => {
  "use strict";

  const board = () => document.getElementById("board");
  const grid = () => document.getElementById("grid");
  const box = () => document.getElementById("plan-box");
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
    if (isStep(event)) busy = true;
  });

  /* As late as can be: what is unfolded or scrolled while a step is on its way stays so, too. */
  document.addEventListener("htmx:beforeSwap", (event) => {
    if (!isStep(event)) return;
    kept = {
      open: [...board().querySelectorAll("details[id]")].map((one) => [one.id, one.open]),
      centre: centre(),
      page: event.detail.requestConfig.elt.closest("#wishes") ? 0 : window.scrollY,
      lines: [...board().querySelectorAll(".tabs")].map((one) => one.scrollLeft),
      inGrid: grid().contains(document.activeElement),
    };
  });

  /* --- The paper, larger than its box: which cell lies in the middle --- */

  function paper() {
    const [seen, drawn] = [box().getBoundingClientRect(), grid().getBoundingClientRect()];
    const pitch = grid().querySelector("td").getBoundingClientRect().width;
    return { x: seen.left + seen.width / 2, y: seen.top + seen.height / 2, drawn, pitch };
  }

  function centre() {
    const { x, y, drawn, pitch } = paper();
    return { row: (y - drawn.top) / pitch, col: (x - drawn.left) / pitch };
  }

  function putInCentre({ row, col }) {
    const { x, y, drawn, pitch } = paper();
    box().scrollLeft += drawn.left + col * pitch - x;
    box().scrollTop += drawn.top + row * pitch - y;
  }

  /* All of the plan in the middle; of one that is larger than its box, the north-west. */
  function putWhole() {
    const { drawn, pitch } = paper();
    const [wide, high] = [box().clientWidth, box().clientHeight];
    putInCentre({
      row: Math.min(drawn.height, high) / 2 / pitch, col: Math.min(drawn.width, wide) / 2 / pitch,
    });
  }

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
    prepare();
    putInCentre({ row: kept.centre.row + rows, col: kept.centre.col + cols });
    [...board().querySelectorAll(".tabs")].forEach((one, at) => {
      one.scrollLeft = kept.lines[at] || 0;
    });
    if (kept.inGrid) {
      const target = document.getElementById(board().dataset.focus || "");
      if (target) target.focus({ preventScroll: true });
    }
    window.scrollTo({ top: kept.page, behavior: "instant" });
    kept = null;
    showChosen();
    busy = false;
    next();
  });

  /* --- Keys: the plan is one stop of the tab key, arrows go about in it --- */

  function prepare() {
    const all = buttons();
    const now = all.find((one) => one === document.activeElement) || all.find(
      (one) => one.getAttribute("aria-pressed") === "true") || all[0];
    for (const one of all) one.tabIndex = one === now ? 0 : -1;
    document.dispatchEvent(new CustomEvent("board:ready"));
    return now;
  }

  /* Of a plan larger than its box, show the part where there is something to press. */
  function reveal(button) {
    const [x, y] = middle(button);
    const seen = box().getBoundingClientRect();
    if (x < seen.left || x > seen.right) box().scrollLeft += x - (seen.left + seen.width / 2);
    if (y < seen.top || y > seen.bottom) box().scrollTop += y - (seen.top + seen.height / 2);
  }

  /* Of a row of levels or tools longer than the screen, show the chosen one. */
  function showChosen() {
    for (const one of board().querySelectorAll(".board-bar .tabs")) {
      const chosen = one.querySelector("[aria-current]");
      if (!chosen) continue;
      const [line, tab] = [one.getBoundingClientRect(), chosen.getBoundingClientRect()];
      if (tab.right > line.right) one.scrollLeft += tab.right - line.right;
      if (tab.left < line.left) one.scrollLeft -= line.left - tab.left;
    }
  }

  const WAYS = { ArrowUp: [0, -1], ArrowDown: [0, 1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };

  function middle(one) {
    const at = one.getBoundingClientRect();
    return [at.x + at.width / 2, at.y + at.height / 2];
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
      to.focus({ preventScroll: true });
      reveal(to);
      const detail = { from: cellOf(from), to: cellOf(to), marks: event.shiftKey };
      document.dispatchEvent(new CustomEvent("board:walked", { detail }));
    }
    const typing = from && /^(INPUT|TEXTAREA|SELECT)$/.test(from.tagName);
    if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z" && !typing) {
      event.preventDefault();
      const id = event.shiftKey ? "redo" : "undo";
      if (busy) waiting.push({ id });
      else if (!document.getElementById(id).disabled) document.getElementById(id).click();
    }
  });

  /* From the settings: what is unfolded is folded, and the plan is there again, without a request. */
  document.addEventListener("click", (event) => {
    if (!event.target.closest(".back-to-drawing")) return;
    event.preventDefault();
    for (const one of board().querySelectorAll("details[id]")) one.open = false;
    board().scrollIntoView({ block: "start" });
    prepare().focus({ preventScroll: true });
  });

  document.addEventListener("focusin", (event) => {
    if (!event.target.closest("#grid") || event.target.tagName !== "BUTTON") return;
    for (const one of buttons()) one.tabIndex = one === event.target ? 0 : -1;
  });

  window.addEventListener("resize", prepare);
  window.drawingBoard = { isBusy: () => busy };
  prepare();
  putWhole();
  showChosen();
})();
