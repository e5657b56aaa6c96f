/* How large a step's words are, kept on this phone. Without this script they are as large as usual. */
(() => {
  "use strict";

  const KEPT = "text size of steps";
  const choice = document.querySelector("[data-text-size]");
  if (!choice) return;

  /* A browser may refuse to keep anything; then it holds for this page. */
  function kept() {
    try {
      return localStorage.getItem(KEPT);
    } catch {
      return null;
    }
  }

  function keep(size) {
    try {
      localStorage.setItem(KEPT, size);
    } catch {
      /* As said. */
    }
  }

  const buttons = [...choice.querySelectorAll("button")];

  function show(size) {
    document.documentElement.dataset.stepText = size;
    for (const one of buttons) one.setAttribute("aria-pressed", String(one.value === size));
  }

  show((buttons.find((one) => one.value === kept()) || buttons[0]).value);
  choice.hidden = false;
  for (const one of buttons) {
    one.addEventListener("click", () => {
      show(one.value);
      keep(one.value);
    });
  }
})();
