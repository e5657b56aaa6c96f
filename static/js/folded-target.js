// What an address points at may lie in a fold: open it. Newer browsers do so themselves.
(() => {
  const unfold = () => {
    const target = document.getElementById(location.hash.slice(1));
    const fold = target && target.closest("details:not([open])");
    if (!fold) return;
    fold.open = true;
    target.scrollIntoView();
  };
  addEventListener("hashchange", unfold);
  unfold();
})();
