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

// Something is being worked out: the page is read anew once it is there, and never before.
// Where parts of it come one by one, each is put in its place as it comes.
const ASK_MS = 2000, SOON_MS = 700;
const between = () => (document.querySelector("[data-comes]") ? SOON_MS : ASK_MS);
const come = (page) => {
  for (const place of document.querySelectorAll("[data-comes]")) {
    const there = page.getElementById(place.id);
    if (!there || there.innerHTML === place.innerHTML) continue;
    place.replaceChildren(...there.childNodes);
    readable(place);
  }
};
const ask = async () => {
  const text = await fetch(location.href).then((found) => found.text()).catch(() => "data-waits");
  const page = new DOMParser().parseFromString(text, "text/html");
  const same = document.querySelector("[data-comes]") && page.title === document.title;
  const waits = text.includes("data-waits");
  if (waits || same) come(page);
  if (waits) setTimeout(ask, between());
  else if (same) document.querySelector("main").removeAttribute("data-waits");
  else location.reload();
};
if (document.querySelector("main[data-waits]")) setTimeout(ask, between());

// A question whose answer stands below it: it is put in place and read out, and the page stays where it is.
const AGAIN_MS = 400;
const pause = (ms) => new Promise((done) => setTimeout(done, ms));
let asking = 0;
const answer = async (id, url, turn) => {
  const place = document.getElementById(id);
  for (;;) {
    const found = await fetch(url);
    if (!found.ok) throw new Error("no answer");
    const text = await found.text();
    const page = new DOMParser().parseFromString(text, "text/html");
    const there = page.getElementById(place.id);
    if (turn !== asking) return "";
    if (!there) throw new Error("no answer");
    if (!("pending" in there.dataset)) {
      place.className = there.className;
      place.replaceChildren(...there.childNodes);
      for (const other of document.querySelectorAll(`[data-follows="${id}"]`)) {
        other.replaceChildren(...(page.getElementById(other.id)?.childNodes ?? []));
      }
      return found.url;
    }
    await pause(AGAIN_MS);
  }
};
document.addEventListener("submit", (event) => {
  const form = event.target.closest?.("[data-in-place]");
  if (!form || event.defaultPrevented) return;
  event.preventDefault();
  const touched = event.submitter;
  for (const button of form.querySelectorAll("button")) {
    const on = button === touched;
    button.classList.toggle("filled", on);
    if (on) button.setAttribute("aria-pressed", "true"); else button.removeAttribute("aria-pressed");
  }
  const url = new URL(form.action);
  const hash = url.hash;
  url.hash = "";
  url.search = new URLSearchParams(new FormData(form, touched)).toString();
  const whole = () => { location.href = url.href + hash; };
  asking += 1;
  answer(form.dataset.inPlace, url.href, asking).then(() => history.replaceState(null, "", url.href + hash), whole);
});

// A form whose answer stands beside it and is judged anew after each change.
document.addEventListener("change", (event) => {
  const form = event.target.form;
  const place = document.getElementById(form?.dataset?.live);
  if (!place) return;
  const url = new URL(form.action);
  url.search = new URLSearchParams(new FormData(form)).toString();
  place.setAttribute("aria-busy", "true");
  asking += 1;
  answer(place.id, url.href, asking).then((at) => {
    if (!at) return;
    place.removeAttribute("aria-busy");
    history.replaceState(null, "", at);
  }, () => { location.href = url.href; });
});

// A place on the fish is touched as its word is.
document.addEventListener("click", (event) => {
  const zone = event.target.closest?.("[data-for]");
  if (zone) document.getElementById(zone.dataset.for)?.click();
});

const drawn = (name, attributes, words = "") => {
  const element = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.textContent = words;
  return element;
};
const clear = (plot) => plot.querySelectorAll(".reader-line, .reader-time").forEach((e) => e.remove());

// A reading line for charts: touch, or the arrow keys. What it says appears in the heads of the strips.
const readable = (root) => {
  for (const views of root.querySelectorAll(".views[data-read]")) lined(views);
};
const lined = (views) => {
  const read = JSON.parse(views.dataset.read);
  const keys = Object.assign(document.createElement("input"), {
    type: "range", min: 0, max: read.rows.length - 1, className: "unseen reader",
  });
  keys.setAttribute("aria-label", "Read the chart at a time");
  views.append(keys);
  const heads = [...views.querySelectorAll(".plot")].map((plot) => ({
    plot,
    words: [...plot.querySelectorAll(".strip")].map((strip) =>
      [".value", ".range-now"].map((name) => strip.querySelector(name)).map((e) => e && [e, e.textContent])),
  }));
  const show = (index) => {
    const [hour, when, ...values] = read.rows[index];
    for (const { plot, words } of heads) {
      const { left, right, bottom } = plot.dataset;
      const x = +left + (right - left) * hour / read.until;
      clear(plot);
      const middle = Math.min(Math.max(x, +left + 36), right - 60);
      plot.append(drawn("path", { class: "reader-line", d: `M${x} 24V${bottom}` }),
        drawn("text", { class: "reader-time", x: middle, y: 18, "text-anchor": "middle" }, when));
      words.forEach(([value, range], n) => {
        if (value) value[0].textContent = values[n][0];
        if (range) range[0].textContent = values[n][1];
      });
    }
    keys.value = index;
    keys.setAttribute("aria-valuetext", `${when}: ${values.map((v, n) => `${read.names[n]} ${v.filter(Boolean).join(", ")}`).join("; ")}`);
  };
  const rest = () => {
    for (const { plot, words } of heads) {
      clear(plot);
      for (const pair of words.flat()) if (pair) pair[0].textContent = pair[1];
    }
  };
  const follow = (event) => {
    const plot = event.target.closest?.("svg")?.querySelector(".plot");
    if (!plot) return;
    const at = event.clientX - plot.ownerSVGElement.getBoundingClientRect().left;
    const share = (at - plot.dataset.left) / (plot.dataset.right - plot.dataset.left);
    const hour = Math.min(Math.max(share, 0), 1) * read.until;
    show(read.rows.reduce((best, row, n) => Math.abs(row[0] - hour) < Math.abs(read.rows[best][0] - hour) ? n : best, 0));
  };
  views.addEventListener("pointerdown", follow);
  views.addEventListener("pointermove", (event) => { if (event.pointerType === "mouse" || event.buttons) follow(event); });
  views.addEventListener("pointerleave", (event) => { if (event.pointerType === "mouse") rest(); });
  keys.addEventListener("input", () => show(+keys.value));
  keys.addEventListener("blur", rest);
};
readable(document);
