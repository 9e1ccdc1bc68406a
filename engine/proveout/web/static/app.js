"use strict";
// What the pages do besides links and forms: a reading waits where the connection is gone and is sent once,
// search as you type, cautions before steps, ticked steps kept, pairs added. Nothing is decided here.

const WAITING = "proveout-waiting";
const EVERY = 4000; // ms between two tries
const PATIENCE = 20000; // ms for one answer

const make = (tag, text = "", more = {}) => Object.assign(document.createElement(tag), { textContent: text }, more);

// --- readings that wait -------------------------------------------------------------------------------------

const waiting = () => {
  try { return JSON.parse(localStorage.getItem(WAITING)) || []; } catch { return []; }
};
const keep = (list) => localStorage.setItem(WAITING, JSON.stringify(list));
const change = (mark, how) => keep(waiting().flatMap((one) => (one.mark === mark ? how(one) : [one])));

function newMark() {
  return Array.from(crypto.getRandomValues(new Uint8Array(12)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

async function send(one) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), PATIENCE);
  try {
    const answer = await fetch(one.to, {
      method: "POST", body: new URLSearchParams(one.fields), signal: stop.signal,
      headers: { accept: "application/json" }, credentials: "same-origin",
    });
    if ([401, 408, 429, 503].includes(answer.status)) return { later: answer.status };
    const said = await answer.json();
    return answer.ok ? { done: said.to } : { refused: said.problems || [`The server answered ${answer.status}.`] };
  } catch {
    return { later: 0 };
  } finally {
    clearTimeout(timer);
  }
}

let sending = false;
async function sendAll(here) {
  if (sending) return;
  sending = true;
  let seen = "";
  for (const one of waiting().filter((item) => !item.refused)) {
    const came = await send(one);
    if (came.done) {
      change(one.mark, () => []);
      if (one.mark === here || location.pathname.startsWith(came.done)) seen = came.done;
    } else if (came.refused) {
      change(one.mark, (item) => [{ ...item, refused: came.refused }]);
    } else {
      change(one.mark, (item) => [{ ...item, why: came.later }]);
      if (came.later !== 408) break;
    }
  }
  sending = false;
  showWaiting();
  if (seen) location.assign(seen);
}

const REASONS = {
  401: "This page is closed. Scan the code of proveout serve again; what waits is kept.",
  429: "The server is busy.",
  503: "The server is busy.",
};

let shown = "";
function showWaiting() {
  const list = waiting();
  const now = JSON.stringify(list);
  if (now === shown) return;
  shown = now;
  const bar = document.getElementById("waiting");
  if (!bar) return;
  bar.replaceChildren();
  const still = list.filter((one) => !one.refused);
  if (still.length) {
    const many = still.length === 1 ? "1 reading waits" : `${still.length} readings wait`;
    const why = REASONS[still[0].why] || "It is sent as soon as the connection is back.";
    bar.append(make("p", `${many} on this device: ${still.map((one) => one.title).join("; ")}. ${why}`));
  }
  for (const one of list.filter((item) => item.refused)) {
    const box = make("div");
    box.append(make("p", `Not taken: ${one.title}, ${one.said}. ${one.refused.join(" ")}`));
    const again = make("a", "Enter it again", { href: one.page, className: "button" });
    const drop = make("button", "Drop it", { type: "button" });
    drop.addEventListener("click", () => { change(one.mark, () => []); showWaiting(); });
    box.append(again, " ", drop);
    bar.append(box);
  }
}

function spoken(form, fields) {
  const read = fields.filter(([name, text]) => ["value", "unit", "response"].includes(name) && text);
  const word = form.querySelector("input[name=result]:checked");
  return read.some(([name]) => name !== "unit") ? read.map(([, text]) => text).join(" ") : word ? word.value : "nothing";
}

function letReadingsWait(form) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const fields = [...new FormData(form)].filter(([name]) => name !== "mark");
    const said = spoken(form, fields);
    const mark = newMark();
    const one = { mark, to: form.getAttribute("action"), fields: [...fields, ["mark", mark]], said,
      title: form.dataset.waits, page: location.pathname };
    const button = form.querySelector("button.strong");
    button.disabled = true;
    keep([...waiting(), one]);
    await sendAll(mark);
    const left = waiting().find((item) => item.mark === mark);
    button.disabled = Boolean(left && !left.refused);
    if (left && left.refused) showRefused(form, left);
    else if (left) button.textContent = "Kept; it is sent when the connection is back";
  });
}

function showRefused(form, one) {
  change(one.mark, () => []);
  showWaiting();
  form.querySelector(".wrong")?.remove();
  const box = make("div", "", { className: "wrong", tabIndex: -1 });
  box.setAttribute("role", "alert");
  for (const text of one.refused) box.append(make("p", text));
  form.prepend(box);
  box.focus();
}

// --- search as you type -------------------------------------------------------------------------------------

function search(box) {
  const input = box.querySelector("input[type=search]");
  const found = box.querySelector(".found");
  const picked = box.querySelector(".picked");
  const told = box.querySelector("[role=status]");
  const kinds = box.dataset.search.split(" ");
  let timer = 0;
  let turn = 0;

  function pick(one) {
    if (![...picked.querySelectorAll("input")].some((held) => held.name === one.kind && held.value === one.id)) {
      const item = make("li");
      const text = make("span", one.kind === "symptoms_absent" ? `Not there: ${one.title}` : "");
      if (one.kind === "codes") text.append(make("b", one.id), ` ${one.title}`);
      else if (!text.textContent) text.textContent = one.title;
      const remove = make("button", "Remove", { type: "button" });
      remove.append(make("span", ` ${one.kind === "codes" ? one.id : one.title}`, { className: "sr" }));
      item.append(text, make("input", "", { type: "hidden", name: one.kind, value: one.id }), remove);
      picked.append(item);
    }
    input.value = "";
    found.replaceChildren();
    told.textContent = `Chosen: ${one.title}`;
    input.focus();
  }

  async function look() {
    const text = input.value.trim();
    const mine = ++turn;
    if (text.length < 2) { found.replaceChildren(); told.textContent = ""; return; }
    const query = new URLSearchParams([["q", text], ...kinds.map((kind) => ["kind", kind])]);
    let list = [];
    try {
      const answer = await fetch(`/find?${query}`, { headers: { accept: "application/json" } });
      if (answer.ok) list = (await answer.json()).found;
    } catch {
      told.textContent = "No connection; what stands here is taken as typed.";
      return;
    }
    if (mine !== turn) return;
    found.replaceChildren(...list.map((one) => {
      const item = make("li");
      const button = make("button", "", { type: "button" });
      if (one.kind === "codes") button.append(make("b", one.id));
      button.append(one.kind === "symptoms_absent" ? `Not there: ${one.title}` : one.title);
      button.addEventListener("click", () => pick(one));
      item.append(button);
      return item;
    }));
    told.textContent = list.length ? `${list.length} found` : "Nothing found; it is kept as you typed it.";
  }

  input.addEventListener("input", () => { clearTimeout(timer); timer = setTimeout(look, 200); });
  input.addEventListener("keydown", (event) => {
    const first = found.querySelector("button");
    if (event.key === "Enter" && input.value.trim()) { event.preventDefault(); if (first) first.click(); }
    if (event.key === "ArrowDown" && first) { event.preventDefault(); first.focus(); }
  });
  found.addEventListener("keydown", (event) => {
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (!step) return;
    event.preventDefault();
    const all = [...found.querySelectorAll("button")];
    const next = all[all.indexOf(document.activeElement) + step];
    (next || input).focus();
  });
  picked.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (button) { button.closest("li").remove(); input.focus(); }
  });
  if (input.value) look();  // typed before this script was there to hear it
}

// --- an inspection ------------------------------------------------------------------------------------------

function acknowledge(link) {
  link.addEventListener("click", (event) => {
    event.preventDefault();
    link.closest("p").hidden = true;
    link.closest("section").querySelector("form").hidden = true;
    document.getElementById("after").hidden = false;
    document.getElementById("steps").focus();
  });
}

function keepTicks(list) {
  const key = `proveout-steps ${list.dataset.steps}`;
  const boxes = [...list.querySelectorAll("input")];
  let held = [];
  try { held = JSON.parse(sessionStorage.getItem(key)) || []; } catch { /* begins anew */ }
  boxes.forEach((box, place) => { box.checked = Boolean(held[place]); });
  list.addEventListener("change", () => sessionStorage.setItem(key, JSON.stringify(boxes.map((box) => box.checked))));
}

function addPairs(button) {
  button.addEventListener("click", () => {
    const pairs = button.parentElement.querySelector("[data-pairs]");
    const one = pairs.lastElementChild.cloneNode(true);
    one.querySelectorAll("input").forEach((input) => { input.value = ""; });
    pairs.append(one);
    one.querySelector("input").focus();
  });
}

// --- others in the same case --------------------------------------------------------------------------------

function watchCase(body) {
  setInterval(async () => {
    if (document.hidden) return;
    try {
      const answer = await fetch(`/case/${encodeURIComponent(body.dataset.case)}/head`, { headers: { accept: "application/json" } });
      if (answer.ok && (await answer.json()).head !== body.dataset.head) document.getElementById("moved").hidden = false;
    } catch { /* asked again */ }
  }, 15000);
}

for (const form of document.querySelectorAll("form[data-waits]")) letReadingsWait(form);
for (const box of document.querySelectorAll("[data-search]")) search(box);
for (const list of document.querySelectorAll("[data-steps]")) keepTicks(list);
for (const button of document.querySelectorAll("[data-more-pairs]")) addPairs(button);
for (const button of document.querySelectorAll("[data-reload]")) button.addEventListener("click", () => location.reload());
const agreed = document.getElementById("agreed");
if (agreed) acknowledge(agreed);
if (document.body.dataset.case) watchCase(document.body);
document.getElementById("problems")?.focus();
showWaiting();
if (waiting().length) sendAll("");
window.addEventListener("online", () => sendAll(""));
window.addEventListener("storage", showWaiting);
setInterval(() => { if (waiting().some((one) => !one.refused)) sendAll(""); }, EVERY);
if ("serviceWorker" in navigator) navigator.serviceWorker.register("/worker.js").catch(() => {});
