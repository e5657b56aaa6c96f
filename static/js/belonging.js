/* What this phone stores of builds belongs to whoever is logged in: it goes with the log-out, and
 * when somebody else has logged in. What is not sent yet stays, and logging out says so first.
 */
(() => {
  "use strict";

  const { actQueue } = self;
  if (!actQueue.isPossible()) return;
  const OWNER = "stored for";
  const { person } = document.body.dataset;

  async function forgetOthers() {
    const owner = localStorage.getItem(OWNER);
    if (owner && owner !== person) await actQueue.forgetBuilds();
    if (owner !== person) localStorage.setItem(OWNER, person);
  }

  function question(count) {
    const things = count === 1 ? "1 thing that you did is" : `${count} things that you did are`;
    return `${things} not sent yet. They stay on this phone, and are sent when you log in again ` +
      "on it. Log out all the same?";
  }

  async function leave(form) {
    try {
      const unsent = (await actQueue.all()).filter((row) => String(row.person) === person);
      if (unsent.length && !self.confirm(question(unsent.length))) return;
      await actQueue.forgetBuilds();
      localStorage.removeItem(OWNER);
    } catch {
      /* Nothing can be kept here, so there is nothing to forget. */
    }
    form.submit();
  }

  for (const form of document.querySelectorAll("form[data-log-out]")) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      leave(form);
    });
  }
  forgetOthers();
})();
