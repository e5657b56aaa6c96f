// F2 leads to the search from every page, also out of a field. No letter or sign: speech input
// would press those in the middle of a sentence (WCAG 2.1.4).
(() => {
  const field = document.querySelector("[data-search-key]");
  if (!field) return;
  document.addEventListener("keydown", (press) => {
    // On a narrow screen a link stands in the place of the field.
    if (press.key !== "F2" || !field.offsetParent) return;
    press.preventDefault();
    field.focus();
    field.select();
  });
})();
