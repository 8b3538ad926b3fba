// The look: gill beats tapped along, signs found as a word is typed, and nothing lost on the way back.
"use strict";

// Gill beats. The first touch starts the clock and is no beat of its own; a key held down is one touch.
const COUNT_MS = 15000;
const HELD_MS = 90;
for (const place of document.querySelectorAll("[data-tap]")) {
  const field = document.getElementById(place.dataset.tap);
  const button = place.querySelector(".tap");
  const says = place.querySelector(".tap-says");
  const first = button.innerHTML;
  let began = 0, beats = 0, last = 0, clock;
  const minute = () => {
    const counted = Number(field.value.trim().replace(",", "."));
    return counted > 0 ? `${counted} beats in 15 seconds: ${Math.round(counted * 4)} a minute.` : "";
  };
  const over = () => {
    clearInterval(clock);
    began = 0;
    field.value = beats;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    button.innerHTML = first;
    says.textContent = minute();
  };
  const show = () => {
    const left = Math.ceil((COUNT_MS - (performance.now() - began)) / 1000);
    if (left <= 0) over(); else button.textContent = `${beats}. Go on, ${left} seconds left`;
  };
  button.hidden = false;
  button.addEventListener("keydown", (event) => { if (event.repeat) event.preventDefault(); });
  button.addEventListener("click", () => {
    const now = performance.now();
    if (now - last < HELD_MS) return;
    last = now;
    if (!began) {
      began = now;
      beats = 0;
      says.textContent = "";
      clock = setInterval(show, 200);
    } else {
      beats += 1;
    }
    show();
  });
  field.addEventListener("change", () => { says.textContent = minute(); });
  says.textContent = minute();
}

const NOT_ANSWERS = ["zone", "here", "found", "find", "at", "asks", "form-token", "shows"];
const form = document.querySelector("form.look");
const told = (from) => {
  const pairs = [...new FormData(from)].filter(([name, value]) => typeof value === "string" && value && !NOT_ANSWERS.includes(name));
  return new URLSearchParams(pairs);
};

// Signs are found as the word is typed. Without scripts the button finds them.
const REST_MS = 350;
const find = document.getElementById("f-find");
if (form && find) {
  let wait, asked = 0;
  const said = document.getElementById("find-says");
  const look = async () => {
    const mine = ++asked;
    const typed = new URLSearchParams([...told(form), ["zone", "find"], ["find", find.value]]);
    const answer = await fetch(`${form.getAttribute("action").split("#")[0]}?${typed}`).catch(() => null);
    if (!answer?.ok || mine !== asked) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    for (const id of ["signs", "kept"]) {
      const [old, now] = [document, page].map((d) => d.getElementById(id));
      if (old && now) old.replaceChildren(...now.childNodes);
    }
    form.elements.here.value = "find";
    form.elements.found.value = find.value;
    const count = document.querySelectorAll("#signs fieldset").length;
    said.textContent = count ? `${count} ${count === 1 ? "sign" : "signs"} below: ${document.querySelector("#signs legend b").textContent}${count > 1 ? " and others" : ""}.` : "No sign is called so here.";
  };
  find.addEventListener("input", () => {
    clearTimeout(wait);
    if (find.value.trim().length > 2) wait = setTimeout(look, REST_MS);
  });
}

// The browser's way back comes to an older page: it is shown with the answers that were given since.
const store = form && `look ${form.dataset.walk}`;
const remember = () => sessionStorage.setItem(store, told(form).toString());
if (form) {
  form.addEventListener("input", remember);
  form.addEventListener("submit", (event) => {
    const given = told(form);
    const touched = event.submitter;
    if (touched?.name && touched.value && !NOT_ANSWERS.includes(touched.name)) given.set(touched.name, touched.value);
    if (form.elements.asks) given.set("asks", form.elements.asks.value);
    sessionStorage.setItem(store, given.toString());
  });
  const back = () => {
    const known = sessionStorage.getItem(store);
    if (known === null || known === told(form).toString()) return;
    const url = new URLSearchParams(known);
    for (const name of ["zone", "at"]) {
      const here = form.dataset[name];
      if (here) url.set(name, here);
    }
    location.replace(`${location.pathname}?${url}`);
  };
  const came = performance.getEntriesByType("navigation")[0]?.type;
  if (came === "back_forward") back();
  else if (came !== "reload") remember();
  addEventListener("pageshow", (event) => { if (event.persisted) back(); });
}
