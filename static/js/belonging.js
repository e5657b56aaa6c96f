/* What this phone stores belongs to the person who is logged in: it goes with the log-out, and when
 * another person has logged in. What is not sent yet stays, and logging out says so first. Without signal nobody
 * is logged out: the server would not know of it.
 */
(() => {
  "use strict";

  const { actQueue, actSending } = self;
  const OWNER = "stored for";
  const PATIENCE = 8_000;
  const OFFLINE = gettext("Not logged out: this phone is offline. Log out when you are online again.");
  const { person } = document.body.dataset;

  async function forgetOthers() {
    const owner = localStorage.getItem(OWNER);
    if (owner && owner !== person) await actQueue.forgetBuilds();
    if (owner !== person) localStorage.setItem(OWNER, person);
  }

  function question(count) {
    return interpolate(ngettext(
      "%(count)s entry is not sent yet. It stays on this phone until you log in here again. Log out anyway?",
      "%(count)s entries are not sent yet. They stay on this phone until you log in here again. Log out anyway?",
      count), { count }, true);
  }

  async function unsent() {
    if (!actQueue.isPossible()) return 0;
    return (await actQueue.all()).filter((row) => String(row.person) === person).length;
  }

  async function forget() {
    if (!actQueue.isPossible()) return;
    await actQueue.forgetBuilds();
    localStorage.removeItem(OWNER);
  }

  /* The words stand at the top of the page, and are read aloud. */
  function refuse(words) {
    const known = document.querySelector("[data-still-here]");
    const made = known ?? document.createElement("p");
    made.className = "fault";
    made.dataset.stillHere = "";
    made.setAttribute("role", "alert");
    made.textContent = words;
    if (!known) document.getElementById("work").prepend(made);
    made.scrollIntoView({ block: "center" });
  }

  /* The token of a stored page may be old; null where the server does not answer. */
  async function freshToken() {
    try {
      return (await actSending.who(undefined, PATIENCE)).token ?? "";
    } catch (stopped) {
      return stopped.state === "log in" ? "" : null;
    }
  }

  /* Whether the server knows of it. */
  async function isLoggedOut(form, token) {
    const body = new URLSearchParams(new FormData(form));
    if (token) body.set("csrfmiddlewaretoken", token);
    try {
      const signal = AbortSignal.timeout(PATIENCE);
      const answer = await fetch(form.action, { method: "POST", body, redirect: "manual", signal });
      return answer.ok || answer.type === "opaqueredirect";
    } catch {
      return false;
    }
  }

  async function leave(form) {
    const token = await freshToken();
    if (token === null) return refuse(OFFLINE);
    const count = await unsent();
    if (count && !self.confirm(question(count))) return null;
    if (!(await isLoggedOut(form, token))) return refuse(OFFLINE);
    await forget();
    return location.assign(form.dataset.logOut);
  }

  for (const form of document.querySelectorAll("form[data-log-out]")) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      if (form.dataset.busy) return;
      form.dataset.busy = "yes";
      leave(form).finally(() => delete form.dataset.busy);
    });
  }
  if (actQueue.isPossible()) forgetOthers();
})();
