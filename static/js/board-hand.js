/* The hand on the drawing board: rectangles, strokes over single cells, and the paper itself.
 *
 * A mouse or one finger draws; it may go past the edge of the grid, which grows to take what was
 * drawn. Where edges are tapped, one finger pulls the paper. Two fingers move and enlarge it, and
 * so do the two buttons. With Shift the arrow keys mark a rectangle, which space then draws.
 */
(() => {
  "use strict";

  const MOST = 24; // rows or columns of a drawing
  const EDGE = 16; // so near to the edge of its box the plan scrolls along
  const SLIP = 8; // a finger that moves less has tapped
  const ZOOM = { coarse: [0.92, 3], fine: [0.5, 3] }; // a cell of 48 px never falls below 44
  const ZOOM_STEP = 1.25; // of the two buttons

  const grid = () => document.getElementById("grid");
  const box = () => document.getElementById("plan-box");
  const plan = () => box().querySelector(".plan");
  const mark = () => document.getElementById("drawn-size");
  const buttons = () => [...grid().querySelectorAll("button")];
  const tool = () => grid().dataset.tool;
  const draws = () => tool() === "floor" || tool() === "cells";

  const fingers = new Map();
  let stroke = null;
  let pull = null;
  let pinch = null;
  let anchor = null;
  let zoom = 1;
  let skipsClick = false;

  /* --- Cells under the hand, also past the edge of the grid --- */

  function cellAt(x, y) {
    const paper = grid().getBoundingClientRect();
    const pitch = grid().querySelector("td").getBoundingClientRect().width;
    return {
      row: Math.floor((y - paper.top) / pitch) - 1,
      col: Math.floor((x - paper.left) / pitch) - 1,
    };
  }

  const nameOf = ({ row, col }) => `${row},${col}`;
  const buttonOf = (cell) => buttons().find((one) => one.value === nameOf(cell));
  const isFloor = (cell) => buttonOf(cell)?.getAttribute("aria-pressed") === "true";

  function between(a, b) {
    const cells = [];
    for (let row = Math.min(a.row, b.row); row <= Math.max(a.row, b.row); row += 1) {
      for (let col = Math.min(a.col, b.col); col <= Math.max(a.col, b.col); col += 1) {
        cells.push({ row, col });
      }
    }
    return cells;
  }

  /* No further from the first corner than a drawing can be wide. */
  function held(cell, from) {
    const near = (value, about) => Math.max(about - MOST + 1, Math.min(about + MOST - 1, value));
    return { row: near(cell.row, from.row), col: near(cell.col, from.col) };
  }

  /* --- What will be drawn --- */

  function showRectangle(a, b) {
    const [row, col] = [Math.min(a.row, b.row), Math.min(a.col, b.col)];
    const [rows, cols] = [Math.abs(a.row - b.row) + 1, Math.abs(a.col - b.col) + 1];
    const pitch = grid().querySelector("td").offsetWidth;
    const lengths = grid().dataset.lengths.split("|");
    const one = mark();
    one.style.left = `${(col + 1) * pitch}px`;
    one.style.top = `${(row + 1) * pitch}px`;
    one.style.width = `${cols * pitch}px`;
    one.style.height = `${rows * pitch}px`;
    one.textContent = `${lengths[cols - 1]} × ${lengths[rows - 1]}`;
    one.classList.toggle("will-go", between(a, b).every(isFloor));
    one.hidden = false;
  }

  function showStroke() {
    for (const cell of stroke.cells.values()) {
      buttonOf(cell)?.classList.add(stroke.floor ? "will-be" : "will-go");
    }
  }

  function hide() {
    mark().hidden = true;
    for (const one of buttons()) one.classList.remove("will-be", "will-go");
  }

  function send(values) {
    const form = plan();
    window.htmx.ajax("POST", form.action, {
      source: form, target: "#board", swap: "outerHTML settle:0ms", values,
    });
  }

  const sendRectangle = (a, b) => send({ corners: `${nameOf(a)} ${nameOf(b)}` });

  /* --- Drawing --- */

  function begin(event) {
    const from = cellAt(event.clientX, event.clientY);
    if (tool() === "cells" && !buttonOf(from)) return;
    stroke = { from, to: from, floor: !isFloor(from), cells: new Map([[nameOf(from), from]]) };
  }

  function follow(event) {
    scrollAlong(event);
    const to = held(cellAt(event.clientX, event.clientY), stroke.from);
    if (nameOf(to) === nameOf(stroke.to)) return;
    stroke.to = to;
    if (tool() === "floor") {
      showRectangle(stroke.from, to);
    } else if (buttonOf(to)) {
      stroke.cells.set(nameOf(to), to);
      showStroke();
    }
    stroke.moved = true;
  }

  function end(event) {
    const done = stroke;
    stroke = null;
    hide();
    if (!done.moved) {
      // A press on one cell of the grid is a click on its button; past the grid there is none.
      if (tool() === "floor" && !buttonOf(done.from) && event.type === "pointerup") {
        sendRectangle(done.from, done.from);
      }
      return;
    }
    skipsClick = true;
    if (tool() === "floor") return sendRectangle(done.from, done.to);
    return send({
      cells: [...done.cells.keys()].join(" "), floor: done.floor ? "on" : "",
    });
  }

  function scrollAlong(event) {
    const seen = box().getBoundingClientRect();
    if (event.clientX > seen.right - EDGE) box().scrollLeft += EDGE / 2;
    if (event.clientX < seen.left + EDGE) box().scrollLeft -= EDGE / 2;
    if (event.clientY > seen.bottom - EDGE) box().scrollTop += EDGE / 2;
    if (event.clientY < seen.top + EDGE) box().scrollTop -= EDGE / 2;
  }

  /* --- The paper: pulled with one finger, moved and enlarged with two --- */

  function setZoom(wanted, x, y) {
    const bounds = window.matchMedia("(pointer: coarse)").matches ? ZOOM.coarse : ZOOM.fine;
    const before = grid().getBoundingClientRect();
    const [right, down] = [(x - before.left) / before.width, (y - before.top) / before.height];
    zoom = Math.max(bounds[0], Math.min(bounds[1], wanted));
    plan().style.setProperty("--zoom", zoom);
    const after = grid().getBoundingClientRect();
    box().scrollLeft += after.left + right * after.width - x;
    box().scrollTop += after.top + down * after.height - y;
  }

  function middleOfTwo() {
    const [a, b] = [...fingers.values()];
    return {
      x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, apart: Math.max(1, Math.hypot(a.x - b.x, a.y - b.y)),
    };
  }

  function beginPinch() {
    stroke = null;
    pull = null;
    skipsClick = true;
    hide();
    pinch = { ...middleOfTwo(), zoom };
  }

  function followPinch() {
    const now = middleOfTwo();
    box().scrollLeft -= now.x - pinch.x;
    box().scrollTop -= now.y - pinch.y;
    setZoom((pinch.zoom * now.apart) / pinch.apart, now.x, now.y);
    [pinch.x, pinch.y] = [now.x, now.y];
  }

  function followPull(event) {
    const [right, down] = [event.clientX - pull.x, event.clientY - pull.y];
    if (!pull.moved && Math.hypot(right, down) < SLIP) return;
    pull.moved = true;
    skipsClick = true;
    const before = box().scrollTop;
    box().scrollLeft -= right;
    box().scrollTop -= down;
    // A plan that is seen whole gives the pull on to the page.
    const rest = down + (box().scrollTop - before);
    if (rest) window.scrollBy({ top: -rest, behavior: "instant" });
    [pull.x, pull.y] = [event.clientX, event.clientY];
  }

  document.addEventListener("pointerdown", (event) => {
    if (!event.target.closest("#plan-box")) return;
    skipsClick = false;
    anchor = null;
    const isMouse = event.pointerType === "mouse";
    if (!isMouse) {
      fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
      if (fingers.size === 2) return beginPinch();
    }
    if (event.button || pinch || window.drawingBoard.isBusy()) return;
    if (draws()) begin(event);
    else if (!isMouse) pull = { x: event.clientX, y: event.clientY };
  });

  document.addEventListener("pointermove", (event) => {
    if (fingers.has(event.pointerId)) {
      fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    }
    if (pinch && fingers.size === 2) followPinch();
    else if (stroke) follow(event);
    else if (pull) followPull(event);
  });

  function lift(event) {
    fingers.delete(event.pointerId);
    if (pinch) {
      if (!fingers.size) pinch = null;
      return;
    }
    pull = null;
    if (stroke && event.type === "pointerup") end(event);
    else if (stroke) {
      stroke = null;
      hide();
    }
  }

  document.addEventListener("pointerup", lift);
  document.addEventListener("pointercancel", lift);

  document.addEventListener("click", (event) => {
    const by = event.target.closest("[data-zoom]");
    if (by) {
      const seen = box().getBoundingClientRect();
      const wanted = by.dataset.zoom === "in" ? zoom * ZOOM_STEP : zoom / ZOOM_STEP;
      setZoom(wanted, seen.left + seen.width / 2, seen.top + seen.height / 2);
      return;
    }
    if (!event.target.closest("#grid")) return;
    if (skipsClick) {
      skipsClick = false;
      event.preventDefault();
      event.stopImmediatePropagation();
    } else if (anchor && event.detail === 0) {
      // Space on a rectangle that was marked with the keys.
      const [from, to] = [anchor.from, anchor.to];
      anchor = null;
      hide();
      event.preventDefault();
      event.stopImmediatePropagation();
      sendRectangle(from, to);
    }
  }, true);

  /* --- A rectangle marked with Shift and the arrow keys --- */

  document.addEventListener("board:walked", (event) => {
    const { from, to, marks } = event.detail;
    hide();
    if (!marks || tool() !== "floor") {
      anchor = null;
      return;
    }
    anchor = { from: anchor ? anchor.from : from, to };
    showRectangle(anchor.from, to);
  });

  /* --- Whenever the board is new --- */

  document.addEventListener("board:ready", () => {
    box().classList.add("in-hand");
    document.getElementById("zoom").hidden = false;
    plan().style.setProperty("--zoom", zoom);
    anchor = null;
  });
})();
