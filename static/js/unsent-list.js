/* What is kept on this phone and not sent yet, one by one: to be read, and withdrawn. */
(() => {
  "use strict";

  const { actQueue, actSending } = self;
  const list = document.querySelector("[data-unsent-list]");
  if (!actQueue.isPossible()) {
    document.querySelector("[data-none-unsent]").hidden = false;
    return;
  }
  /* Stored as nobody's, so that it opens without signal: then it is whoever was logged in last. */
  const person = Number(document.body.dataset.person || localStorage.getItem("stored for"));
  const isOwn = (row) => row.person === person;
  const WHEN = { day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" };

  function element(name, words, className = "") {
    const made = document.createElement(name);
    made.className = className;
    made.textContent = words;
    return made;
  }

  function button(words, work) {
    const made = element("button", words, "button");
    made.type = "button";
    made.addEventListener("click", work);
    return made;
  }

  /* Where it was done: the build and its step, as far as this phone knows them. */
  function placeOf(row, builds) {
    const build = builds.find((one) => one.code === row.code);
    const step = build?.told?.steps?.find((one) => [one.key, one.was].includes(row.act.step));
    const number = step && interpolate(gettext("step %(number)s, %(title)s"), step, true);
    return [build?.name, number].filter(Boolean).join(", ");
  }

  function photo(act) {
    const made = document.createElement("img");
    made.src = `data:image/jpeg;base64,${act.image}`;
    made.alt = act.note || gettext("Photo");
    return made;
  }

  async function withdraw(row) {
    const asked = gettext("Withdraw this? It will not be sent.");
    if (!self.confirm(`${asked} ${actQueue.told(row.act)}`)) return;
    if (!(await actSending.withdraw(row))) self.alert(gettext("Too late: it was sent in the meantime."));
  }

  async function tryAgain(row) {
    await actQueue.tryAgain(row);
    await actSending.send();
  }

  function item(row, builds) {
    const made = document.createElement("li");
    const when = new Date(row.act.at).toLocaleString(document.documentElement.lang, WHEN);
    made.append(
      element("p", actQueue.told(row.act)),
      element("p", [when, placeOf(row, builds)].filter(Boolean).join(", "), "when"));
    if (row.act.image) made.append(photo(row.act));
    if (row.refused) made.append(element("p", `${gettext("Not accepted:")} ${row.refused}`));
    const buttons = element("p", "", "row");
    if (row.refused) buttons.append(button(gettext("Try again"), () => tryAgain(row)));
    buttons.append(button(gettext("Withdraw"), () => withdraw(row)));
    made.append(buttons);
    return made;
  }

  function answerItem(answer) {
    const made = document.createElement("li");
    made.append(
      element("p", [answer.label, answer.sentence].filter(Boolean).join(": ")),
      button(gettext("Mark as read"), () => actQueue.readAnswer(answer.seq)));
    return made;
  }

  async function show() {
    const builds = await actQueue.builds();
    const rows = (await actQueue.all()).filter(isOwn);
    const answers = (await actQueue.answers()).filter(isOwn);
    list.replaceChildren(
      ...answers.map(answerItem), ...rows.map((row) => item(row, builds)));
    document.querySelector("[data-none-unsent]").hidden = list.children.length > 0;
  }

  self.addEventListener("kept-changed", show);
  /* Stored as nobody's, the page has no other script that sends. */
  if (!self.unsentActs) self.addEventListener("online", () => actSending.send());
  show();
})();
