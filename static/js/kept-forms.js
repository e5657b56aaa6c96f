/* Forms of pages that are stored for work without signal. With signal they are sent as ever; without
 * it they are kept on this phone, and sent later. A form says by `data-keep` what it is, in words, and
 * by `data-then` which page comes next; one with `data-keep-once` is not sent a second time from here. A
 * page says by `data-store` what is stored with it.
 */
(() => {
  "use strict";

  const { actQueue, actSending, phonePhotos, unsentActs } = self;
  if (!actQueue.isPossible() || !unsentActs) return;
  const PATIENCE = 4_000;
  const person = Number(document.body.dataset.person);
  const plain = new WeakSet();
  const isUnsent = (row) => row.to && row.person === person;

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("form[data-keep]") || plain.has(form)) return;
    event.preventDefault();
    if (form.dataset.busy) return;
    form.dataset.busy = "yes";
    sendOrKeep(form, event.submitter).finally(() => delete form.dataset.busy);
  });

  async function sendOrKeep(form, button) {
    if (await isHeard()) return sendPlainly(form, button);
    const act = await actOf(form, button);
    if (!act) return null;
    try {
      await actQueue.add({ code: "", to: new URL(form.action).pathname, person, act });
    } catch {
      /* Nothing can be kept here, for want of room or leave: as if there were no script. */
      return navigator.onLine ? sendPlainly(form, button) : unsentActs.tellNoRoom(form);
    }
    navigator.storage?.persist?.();
    unsentActs.askForSync();
    document.getElementById("announce").textContent = gettext("Offline; saved on this phone.");
    if (form.dataset.then) location.assign(form.dataset.then);
    return null;
  }

  function sendPlainly(form, button) {
    plain.add(form);
    form.requestSubmit(button);
  }

  /* Whether the server answers, to the person of this page. */
  async function isHeard() {
    if (!navigator.onLine) return false;
    try {
      return (await actSending.who(undefined, PATIENCE)).person === person;
    } catch {
      return false;
    }
  }

  /* --- What the form says --- */

  /* Null, with a word beside the field, for a photo that is none. */
  async function actOf(form, button) {
    const taken = [...form.elements].find((one) => one.type === "file" && one.files.length);
    const image = taken && await phonePhotos.shrunk(taken);
    if (image === null) return null;
    const fields = new FormData(form, button);
    fields.delete("csrfmiddlewaretoken");
    /* A stored page is used more than once, and on another day than it was stored. */
    if (fields.has("once")) fields.set("once", crypto.randomUUID());
    const day = form.elements.on ?? form.elements.day;
    if (day && day.value === day.defaultValue) fields.set(day.name, today());
    return {
      kind: "form",
      label: form.dataset.keep,
      said: saidBy(form),
      fields: [...fields].filter(([, value]) => typeof value === "string"),
      ...(image && { image, photo: taken.name }),
      at: new Date().toISOString(),
    };
  }

  function today() {
    const now = actSending.now();
    const two = (number) => String(number).padStart(2, "0");
    return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  }

  /* Each field that says something, with its label. */
  function saidBy(form) {
    const fields = [...form.elements].filter((one) => one.labels?.length && one.value);
    const said = fields.filter((one) => one.checked || !isChoice(one));
    return said.filter((one) => !["date", "file"].includes(one.type)).map(wordsOf);
  }

  const isChoice = (field) => ["checkbox", "radio"].includes(field.type);

  function wordsOf(field) {
    const label = field.labels[0].textContent.trim().replace(/\s+/g, " ");
    if (isChoice(field)) return label;
    return `${label}: ${field.selectedOptions?.[0].textContent.trim() ?? field.value}`;
  }

  /* --- What is kept, where it was done --- */

  function note(words) {
    const made = document.createElement("p");
    made.className = "note";
    made.dataset.kept = "";
    made.setAttribute("role", "status");
    made.textContent = words;
    return made;
  }

  function keptNote({ act }) {
    const made = note(interpolate(
      gettext("Offline; saved on this phone, not sent yet: %(entry)s."),
      { entry: act.said.join(", ") || act.label }, true));
    if (act.image) made.append(photo(act.image));
    return made;
  }

  function photo(image) {
    const made = document.createElement("img");
    made.src = `data:image/jpeg;base64,${image}`;
    made.alt = gettext("Photo");
    return made;
  }

  async function show() {
    const rows = (await actQueue.all()).filter(isUnsent);
    for (const one of document.querySelectorAll("[data-kept]")) one.remove();
    for (const form of document.querySelectorAll("form[data-keep]")) {
      const at = new URL(form.action).pathname;
      const here = rows.filter((row) => row.act.label === form.dataset.keep && row.to === at);
      form.prepend(...here.map(keptNote));
      if ("keepOnce" in form.dataset) form.querySelector("[type=submit]").hidden = here.length > 0;
    }
    for (const row of rows) {
      for (const link of document.querySelectorAll(`main a[href="${CSS.escape(row.to)}"]`)) mark(link);
    }
  }

  function mark(link) {
    const made = document.createElement("span");
    made.className = "soft";
    made.dataset.kept = "";
    made.textContent = ` ${gettext("saved on this phone, not sent yet")}`;
    link.append(made);
  }

  /* --- Stored, with the pages that it leads to --- */

  async function store() {
    const here = document.querySelector("[data-store]");
    if (!here || !("serviceWorker" in navigator)) return;
    await navigator.serviceWorker.register(here.dataset.worker, { scope: "/" });
    await navigator.serviceWorker.ready;
    const { store: code, name, storedAs } = here.dataset;
    const pages = here.dataset.pages.trim().split(/\s+/);
    if ((await actQueue.build(code))?.stored === storedAs) return;
    try {
      await actQueue.storePages(code, { storedAs, pages, name, told: { pages } });
    } catch {
      /* No signal any more: it is tried again when the page is opened next. */
    }
  }

  self.addEventListener("kept-changed", show);
  /* The way on from a build may have become another one. */
  self.addEventListener("build-refreshed", show);
  self.addEventListener("load", async () => {
    await show();
    await store();
  });
})();
