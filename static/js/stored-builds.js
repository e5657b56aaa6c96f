/* Where nobody is logged in, or there is no signal: what this phone keeps all the same. */
(async () => {
  "use strict";

  const { actQueue } = self;
  if (!actQueue.isPossible()) return;

  function line(build) {
    const link = document.createElement("a");
    link.className = "target";
    link.href = build.told.pages[0];
    link.textContent = build.name;
    const made = document.createElement("li");
    made.append(link);
    return made;
  }

  const list = document.querySelector("[data-stored-builds]");
  if (list) {
    const stored = (await actQueue.builds()).filter((build) => build.stored);
    list.append(...stored.map(line));
    document.querySelector("[data-none-stored]").hidden = stored.length > 0;
  }

  const unsent = (await actQueue.all()).length;
  const words = document.querySelector("[data-all-unsent]");
  if (!words) return;
  words.textContent = interpolate(ngettext(
    "%(count)s not sent yet. It is saved on this phone until you are online and logged in.",
    "%(count)s not sent yet. They are saved on this phone until you are online and logged in.",
    unsent), { count: unsent }, true);
  words.hidden = !unsent;
  const read = document.querySelector("[data-read-unsent]");
  if (read) read.hidden = !unsent;
})();
