// The round by thumb: counters, and the next tank without asking the room's computer. Links do the same.
const hands = [...document.querySelectorAll("[data-hand]")];
const rowOf = (tank) => document.querySelector(`[data-then="${CSS.escape(tank)}"]`);
const done = new Set();
const putOff = new Set((document.querySelector("input[name=later]")?.value ?? "").split(",").filter(Boolean));

const open = (tank) => {
  for (const hand of hands) hand.hidden = hand.dataset.hand !== tank;
  for (const hand of hands) {
    const row = rowOf(hand.dataset.hand);
    if (row) row.hidden = hand.dataset.hand === tank || done.has(hand.dataset.hand);
  }
  hands.find((hand) => !hand.hidden)?.querySelector("button.ends")?.focus({ preventScroll: true });
};
const next = () => {
  const left = hands.map((hand) => hand.dataset.hand).filter((tank) => !done.has(tank));
  open(left.find((tank) => !putOff.has(tank)) ?? left[0]);
};

document.addEventListener("click", (event) => {
  const link = event.target.closest?.("a");
  if (!link) return;
  const counter = link.closest("[data-counter]");
  if (counter && !("about" in link.dataset)) {
    event.preventDefault();
    const field = counter.querySelector("input"), figure = counter.querySelector("[data-figure]");
    const number = parseInt(field.value.replace(/\D+/g, "") || counter.dataset.counter, 10);
    const about = /^about/i.test(field.value) ? "about " : "";
    field.value = about + Math.max(number + (+link.dataset.step || 0), 0);
    if (link === figure) {
      counter.querySelector("[data-write]").hidden = false;
      counter.querySelector("[data-about]").hidden = false;
    }
    field.dispatchEvent(new Event("input", { bubbles: true }));
  } else if (counter) {
    event.preventDefault();
    const field = counter.querySelector("input");
    field.value = /^about/i.test(field.value) ? field.value.replace(/\D+/g, "") : `about ${field.value}`;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  } else if ("skip" in link.dataset) {
    event.preventDefault();
    putOff.add(link.closest("[data-hand]").dataset.hand);
    for (const later of document.querySelectorAll("input[name=later]")) later.value = [...putOff].join();
    next();
  } else if ("open" in link.dataset) {
    event.preventDefault();
    open(link.dataset.open);
    document.getElementById("hand").scrollIntoView();
  }
});

document.addEventListener("input", (event) => {
  const figure = event.target.closest?.("[data-counter]")?.querySelector("[data-figure]");
  if (!figure) return;
  figure.textContent = event.target.value;
  figure.classList.add("said");
});

// Out of reach: what was touched waits, and the round goes on.
document.addEventListener("waits", (event) => {
  const hand = event.target.closest("[data-hand]");
  event.target.closest(".row")?.classList.add("waits");
  if (!hand) return;
  done.add(hand.dataset.hand);
  next();
});
