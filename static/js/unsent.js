/* On every page: how much of what was done on this phone is not sent yet, and the sending of it, from
 * whatever page. What it is can be read on a page of its own, where the count leads.
 */
(() => {
  "use strict";

  const { actQueue, actSending } = self;
  const head = document.querySelector("[data-unsent-head]");
  if (!head || !actQueue.isPossible()) return;
  const EVERY = 30_000;
  const SOON = 2_000;
  const person = Number(document.body.dataset.person);
  const isOwn = (row) => row.person === person;
  let pause = SOON;
  let again = null;

  const counted = (words, count) => interpolate(words, { count }, true);

  async function show() {
    const rows = (await actQueue.all()).filter(isOwn);
    const refused = rows.filter((row) => row.refused).length;
    const unsent = rows.length - refused;
    const unread = (await actQueue.answers()).filter(isOwn).length;
    const words = [
      unsent && counted(gettext("%(count)s not sent yet"), unsent),
      refused && counted(gettext("%(count)s not accepted"), refused),
      unread && counted(gettext("%(count)s to read"), unread),
    ].filter(Boolean).join(", ");
    if (head.textContent !== words) head.textContent = words;
    head.hidden = !words;
  }

  /* What came of it is told to the page, which may know more to do. */
  async function send() {
    const isAny = (await actQueue.all()).some((row) => isOwn(row) && !row.refused);
    const sending = isAny ? await actSending.send() : { state: "sent", why: "" };
    self.dispatchEvent(new CustomEvent("acts-sent", { detail: { ...sending, isAny } }));
    await show();
    trySoonAgain(sending.state === "offline" && navigator.onLine);
    return sending;
  }

  /* The first try after signal came back often meets a network that is still changing. */
  function trySoonAgain(isLost) {
    clearTimeout(again);
    if (!isLost) {
      pause = SOON;
      return;
    }
    again = setTimeout(send, pause);
    pause = Math.min(2 * pause, EVERY);
  }

  /* Not every browser has it; then it is sent when a page is open. */
  async function askForSync() {
    try {
      await (await navigator.serviceWorker.ready).sync.register("acts");
    } catch {
      /* As said. */
    }
  }

  /* Without signal and without room on the phone nothing of a form is lost as long as it stays. */
  function tellNoRoom(form) {
    const words = document.createElement("p");
    words.className = "fault";
    words.setAttribute("role", "alert");
    words.textContent = gettext("Not saved: this phone has no room left. Free some space on it, then try again.");
    form.querySelector(".fault[role=alert]")?.remove();
    form.prepend(words);
    words.scrollIntoView({ block: "center" });
  }

  self.unsentActs = { send, askForSync, tellNoRoom };

  self.addEventListener("kept-changed", show);
  self.addEventListener("online", send);
  setInterval(() => {
    if (!document.hidden) send();
  }, EVERY);
  self.addEventListener("load", send);
})();
