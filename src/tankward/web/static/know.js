// What is looked up is found as it is typed. Without this script the button does the same.
"use strict";

const STILL_MS = 200;
for (const form of document.querySelectorAll("form[data-as-typed]")) {
  let wait, asked = 0;
  const find = async () => {
    const mine = ++asked;
    const typed = new URLSearchParams(new FormData(form));
    const answer = await fetch(`${form.action}?${typed}`).catch(() => null);
    if (!answer || mine !== asked) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    for (const id of ["said", "found"]) {
      const [old, now] = [document, page].map((d) => d.getElementById(id));
      if (old && now) old.replaceChildren(...now.childNodes);
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(wait);
    wait = setTimeout(find, STILL_MS);
  });
}
