// Nothing here is needed: pages and forms work without scripts.
"use strict";

// A wet double touch is one touch.
const TOUCH_MS = 300;
let last = { form: null, at: 0 };
document.addEventListener("submit", (event) => {
  const again = event.target === last.form && event.timeStamp - last.at < TOUCH_MS;
  if (again) event.preventDefault();
  else last = { form: event.target, at: event.timeStamp };
});

// A page of steps asks the device to stay awake; devices refuse outside https and on loss of sight.
const stay = () => {
  if (document.visibilityState !== "visible" || !document.querySelector("[data-stay-awake]")) return;
  navigator.wakeLock?.request("screen").catch(() => undefined);
};
document.addEventListener("visibilitychange", stay);
stay();

// A place on the fish is touched as its word is.
document.addEventListener("click", (event) => {
  const zone = event.target.closest?.("[data-for]");
  if (zone) document.getElementById(zone.dataset.for)?.click();
});
