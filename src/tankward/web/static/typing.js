// The tank is drawn as it is typed. Without this script the same button shows it first, then goes on.
"use strict";

const REST_MS = 350;
for (const form of document.querySelectorAll("form[data-preview]")) {
  let wait, asked = 0;
  const preview = async () => {
    const mine = ++asked;
    const typed = new URLSearchParams(new FormData(form));
    typed.set("go", "size");
    const answer = await fetch(`${form.action}?${typed}`).catch(() => null);
    if (!answer || mine !== asked) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    for (const id of ["drawn", "said"]) {
      const [old, now] = [document, page].map((d) => d.getElementById(id));
      if (old && now) old.replaceChildren(...now.childNodes);
    }
    const seen = page.getElementById("seen");
    if (seen) document.getElementById("seen").value = seen.value;
  };
  form.addEventListener("input", () => {
    clearTimeout(wait);
    wait = setTimeout(preview, REST_MS);
  });
}
