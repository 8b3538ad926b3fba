// Touches that the room's computer can't be told now wait on this phone, and go over by themselves.
// Without this script the same forms are sent by the browser.
const TOUCH_AGAIN_MS = 300, WAIT_MS = 4000, RETRY_MS = 5000;
const NUMBERS = ["No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine"];
const SAFE_HERE = "They are safe here and go over by themselves when the phone is back in reach. "
  + "Keep this page open: once closed, it opens again only with Wi-Fi.";

const opened = new Promise((resolve, reject) => {
  const request = indexedDB.open("tankward", 1);
  request.onupgradeneeded = () => request.result.createObjectStore("touches", { keyPath: "id" });
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});
opened.catch(() => undefined);
const kept = async (mode, act) => {
  const store = (await opened).transaction("touches", mode).objectStore("touches");
  return new Promise((resolve, reject) => {
    const request = act(store);
    store.transaction.oncomplete = () => resolve(request.result);
    store.transaction.onabort = store.transaction.onerror = () => reject(store.transaction.error);
  });
};
const all = () => kept("readonly", (s) => s.getAll()).catch(() => []); // by id, that is by time
const put = (touch) => kept("readwrite", (s) => s.put(touch));
const drop = (touch) => kept("readwrite", (s) => s.delete(touch.id));

// An id that grows with time (UUID version 7); over plain http there is no randomUUID.
const newId = () => {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  let time = Date.now();
  for (let n = 5; n >= 0; n -= 1, time = Math.floor(time / 256)) bytes[n] = time % 256;
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((b) => b.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
};

// Told: { to } where to go; { no } why it was not taken; {} out of reach.
const send = async (touch) => {
  const token = document.querySelector("input[name=form-token]")?.value;
  const fields = { ...touch.fields, sent: new Date().toISOString(), ...(token && { "form-token": token }) };
  try {
    const answer = await fetch(touch.action, {
      method: "POST", body: new URLSearchParams(fields), headers: { accept: "application/json" },
      signal: AbortSignal.timeout(WAIT_MS),
    });
    if (answer.status >= 500) return {};
    const told = await answer.json().catch(() => ({}));
    return answer.ok ? { to: told.to } : { no: told.says || "It was not taken." };
  } catch { return {}; }
};

const main = document.getElementById("main"), place = document.querySelector(".place-line");
const before = { head: main.querySelector("h1")?.textContent, place: place?.textContent };
const element = (name, words, className = "") => Object.assign(document.createElement(name), { textContent: words, className });
const rowOf = (touch) => {
  const row = element("li", "", "row"), column = element("div", "", "column"), at = new Date(touch.fields.touched);
  const clock = `${String(at.getHours()).padStart(2, "0")}:${String(at.getMinutes()).padStart(2, "0")}`;
  column.append(element("p", touch.says), element("p", touch.no ? `${clock}, not taken: ${touch.no}` : `${clock}, waiting`, "soft"));
  row.append(element("div", touch.of, "margin"), column);
  if (touch.no) {
    const away = element("button", "Throw it away", "wordlike small");
    away.addEventListener("click", async () => { await drop(touch); render(); });
    column.append(away);
  }
  return row;
};
const render = async () => {
  const touches = await all(), many = NUMBERS[touches.length] ?? String(touches.length);
  main.querySelector(".waiting")?.remove();
  const head = main.querySelector(".round") && main.querySelector("h1");
  if (head) head.textContent = before.head;
  if (place) place.textContent = before.place + (touches.length ? `, ${many.toLowerCase()} waiting` : "");
  if (!touches.length) return;
  const says = touches.length === 1 ? "One tick waits on this phone." : `${many} ticks wait on this phone.`;
  const section = element("section", "", "waiting"), list = element("ul", "", "rows");
  section.setAttribute("role", "status");
  section.append(...(head ? [] : [element("h2", says)]), element("p", SAFE_HERE, "why"), list);
  if (head) head.textContent = says;
  list.append(...touches.map(rowOf));
  head ? head.after(section) : main.prepend(section);
};

let sending = null;
const flush = () => (sending ??= sendAll().finally(() => { sending = null; }));
const sendAll = async () => {
  let gone = 0;
  for (const touch of (await all()).filter((t) => !t.no)) {
    const told = await send(touch);
    if (told.to) { await drop(touch); gone += 1; }
    else if (told.no) await put({ ...touch, no: told.no });
    else break;
  }
  await render();
  const typing = document.activeElement?.matches("input:not([type=checkbox]), textarea");
  if (gone && !typing && main.querySelector("form[data-queue], .round")) location.reload();
};

const touched = async (form, by) => {
  const at = new Date(), id = newId();
  const fields = { ...Object.fromEntries(new FormData(form)), ...(by?.name && { [by.name]: by.value }), touch: id, touched: at.toISOString() };
  const heads = Object.entries(fields).filter(([name, value]) => name.startsWith("n-") && value).map(([, value]) => value);
  const act = (by?.getAttribute("aria-label") || by?.textContent.trim() || "").replace(`${form.dataset.queue}: `, "");
  const says = [act, ...heads].join(", ");
  const touch = { id, action: form.action, of: form.dataset.queue, says, fields };
  const behind = (await all()).length;
  try { await put(touch); } catch { form.submit(); return; }
  const told = behind ? {} : await send(touch); // those that wait go first
  if (told.to || told.no) await drop(touch);
  if (told.to) { location.assign(told.to); return; }
  if (told.no) { // the browser sends it, so that the page can say what is wrong
    for (const [name, value] of Object.entries({ ...fields, sent: new Date().toISOString() })) {
      if (!form.elements.namedItem(name)) form.append(Object.assign(document.createElement("input"), { type: "hidden", name, value }));
    }
    form.submit();
    return;
  }
  form.dispatchEvent(new CustomEvent("waits", { bubbles: true }));
  await render();
  if (behind) flush();
};

// A wet double touch is one touch, also where the first one has brought the next tank under the finger.
document.addEventListener("submit", (event) => {
  const elsewhere = event.submitter?.hasAttribute("formaction"); // an undo among the ticks
  if (!event.target.matches("form[data-queue]") || event.defaultPrevented || elsewhere) return;
  event.preventDefault();
  const now = Date.now(), last = +sessionStorage.getItem("touched");
  if (now - last < TOUCH_AGAIN_MS) return;
  sessionStorage.setItem("touched", now);
  touched(event.target, event.submitter);
});
window.addEventListener("online", flush);
document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") flush(); });
setInterval(async () => { if ((await all()).some((t) => !t.no)) flush(); }, RETRY_MS);
all().then((touches) => { if (touches.length) render().then(flush); });
