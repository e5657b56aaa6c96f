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
    const rest = gone <= whole ? `about ${minutes} min left` : `${minutes} min longer than reckoned; take your time`;
    words.textContent = `${since}; ${rest}.`;
    bar.value = Math.min(gone, whole);
  };
  bar.hidden = false;
  show();
  setInterval(show, 10_000);
}
