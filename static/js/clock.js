// The clock of a step: how much of its time is left. Without script the page says the minutes.
"use strict";

for (const clock of document.querySelectorAll("[data-began]")) {
  const began = Date.parse(clock.dataset.began);
  const whole = Number(clock.dataset.seconds);
  const words = clock.querySelector("[data-words]");
  const bar = clock.querySelector("progress");
  const since = words.textContent.split(";")[0];
  const show = () => {
    const gone = Math.max(0, (Date.now() - began) / 1000);
    const minutes = Math.ceil(Math.abs(whole - gone) / 60);
    const rest = gone <= whole
      ? gettext("about %(minutes)s min left")
      : gettext("%(minutes)s min longer than planned; take your time");
    words.textContent = `${since}; ${interpolate(rest, { minutes }, true)}.`;
    bar.value = Math.min(gone, whole);
  };
  bar.hidden = false;
  show();
  setInterval(show, 10_000);
}
