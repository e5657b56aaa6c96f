/* On the page that stands in for one that needs signal: the builds that are stored on this phone. */
(async () => {
  "use strict";

  const list = document.querySelector("[data-stored-builds]");
  if (!self.actQueue.isPossible()) return;
  const stored = (await self.actQueue.builds()).filter((build) => build.stored);
  for (const build of stored) {
    const link = document.createElement("a");
    link.className = "target";
    link.href = build.told.pages[0];
    link.textContent = build.name;
    const line = document.createElement("li");
    line.append(link);
    list.append(line);
  }
  document.querySelector("[data-none-stored]").hidden = stored.length > 0;
  const unsent = (await self.actQueue.all()).length;
  const words = document.querySelector("[data-all-unsent]");
  words.textContent = `${unsent} not sent yet: kept on this phone until there is signal.`;
  words.hidden = !unsent;
})();
