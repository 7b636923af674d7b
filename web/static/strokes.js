// Logging strokes on a phone: a keypad for the distances, the clock of the device at
// the tap, and forms that are sent again by themselves where the signal is bad. The
// page works without this file, a form at a time.

const box = () => document.getElementById("log");
if (box()) start();

function start() {
  let aimed = null; // the distance that the keypad writes into
  let fresh = true; // its next digit begins anew
  let waiting = null; // a form that is on its way
  let pause = 0;
  let timer = 0;

  // ---- distances --------------------------------------------------------------

  const figures = () => [...box().querySelectorAll("[data-figure]")];

  function prepare() {
    for (const pad of box().querySelectorAll("[data-pad]")) pad.hidden = false;
    const all = figures();
    for (const input of all) input.inputMode = "none"; // the keys stand on the page
    aimed = null;
    aim(all.find((x) => x.value === "") ?? all[0]);
    unit();
  }

  function aim(input) {
    if (!input) return;
    if (input !== aimed) fresh = true;
    aimed = input;
    for (const x of figures()) x.classList.toggle("aimed", x === input);
  }

  function press(key) {
    if (!aimed) return;
    let v = fresh && key !== "back" ? "" : aimed.value;
    if (key === "back") v = fresh ? "" : v.slice(0, -1);
    else if (key === ".") v = v.includes(".") ? v : `${v || "0"}.`;
    else if (v.replace(".", "").length < 6) v += key;
    fresh = false;
    aimed.value = v;
    aimed.dispatchEvent(new Event("input", { bubbles: true }));
  }

  // unit names the unit of the lie that is chosen.
  function unit() {
    const lie = box().querySelector("[data-lie]:checked");
    const at = box().querySelector('[name="distance"]')?.parentElement.querySelector("[data-unit]");
    if (lie && at) at.textContent = lie.value === "green" ? at.dataset.green : at.dataset.long;
  }

  // ---- sending ----------------------------------------------------------------

  function stamp(form, when) {
    for (const input of form.querySelectorAll(`[data-stamp="${when}"]`)) {
      if (input.value === "" || when !== "first") input.value = new Date().toISOString();
    }
  }

  async function send() {
    clearTimeout(timer);
    if (!waiting || waiting.busy) return;
    waiting.busy = true;
    let answer;
    let text = "";
    try {
      answer = await fetch(waiting.action, {
        method: "POST", body: waiting.body, headers: { Accept: "text/html" }, signal: AbortSignal.timeout ? AbortSignal.timeout(15_000) : undefined,
      });
      text = await answer.text();
    } catch {
      answer = null;
    }
    waiting.busy = false;
    if (!answer || answer.status >= 500 || answer.status === 429 || answer.status === 408) {
      pause = Math.min(pause ? pause * 2 : 2_000, 20_000);
      timer = setTimeout(send, pause);
      tell();
      return;
    }
    pause = 0;
    waiting = null;
    const next = new DOMParser().parseFromString(text, "text/html");
    if (answer.ok && !next.getElementById("log")) {
      location.assign(answer.url);
      return;
    }
    show(next, answer.redirected ? answer.url : "");
  }

  function show(next, address) {
    const main = document.querySelector("main");
    main.replaceChildren(...document.adoptNode(next.querySelector("main")).childNodes);
    document.title = next.title;
    if (!box()) return; // a page of its own: what went wrong
    if (address) history.replaceState(null, "", address);
    prepare();
    const bad = box().querySelector('[aria-invalid="true"]');
    if (bad) bad.focus();
    else (box().querySelector("#step") ?? box().querySelector(".onward a"))?.focus({ preventScroll: true });
    const played = new URL(location.href).hash === "#played" && document.getElementById("played");
    if (played) played.scrollIntoView();
    else scrollTo({ top: 0 });
  }

  function tell() {
    const note = document.getElementById("unsent");
    if (!note) return;
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: "Send now" });
    button.addEventListener("click", send);
    note.replaceChildren(
      Object.assign(document.createElement("strong"), { textContent: "Not sent yet." }),
      " Kept on this page while it is open; trying again by itself. ", button,
    );
    note.hidden = false;
  }

  document.addEventListener("submit", (e) => {
    const form = e.target;
    if (!form.matches("[data-send]")) return;
    e.preventDefault();
    if (waiting) {
      if (pause) tell();
      return;
    }
    const button = e.submitter;
    const ready = button?.classList.contains("ready");
    if (button?.value !== "log") stamp(form, "press");
    stamp(form, ready ? "ready" : "end");
    stamp(form, "first");
    const body = new URLSearchParams(new FormData(form));
    if (button?.name) body.append(button.name, button.value);
    waiting = { action: new URL(form.action).pathname, body };
    send();
  });

  // ---- hands and keys -----------------------------------------------------------

  // A review begins with its first tap: that is when the strike was judged.
  const begin = (e) => {
    const form = e.target.closest?.("form[data-send]");
    if (form && (e.type !== "click" || e.target.closest("button, input, label"))) stamp(form, "first");
  };
  let chosen = null; // a choice that is tapped again is taken back
  document.addEventListener("pointerdown", (e) => {
    const input = e.target.closest?.(".chips span, .grid span")?.querySelector("input");
    chosen = input?.checked && input.name !== "lie" && input.name !== "penalty" ? input : null;
  });
  document.addEventListener("click", (e) => {
    begin(e);
    const key = e.target.closest?.("[data-key]");
    if (key) {
      press(key.dataset.key);
      return;
    }
    if (e.target.matches?.("input[type=radio]") && e.target === chosen) {
      e.target.checked = false;
      chosen = null;
    }
  });
  document.addEventListener("change", (e) => { if (e.target.matches("[data-lie]")) unit(); });
  document.addEventListener("input", begin);
  document.addEventListener("focusin", (e) => { if (e.target.matches("[data-figure]")) { aim(e.target); fresh = true; } });
  // Digits on a keyboard go into the distance from wherever one is.
  document.addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const own = e.target.matches("input:not([type=radio]), select, textarea");
    if (own) {
      if (e.target.matches("[data-figure]") && fresh && /^[0-9]$/.test(e.key)) e.target.value = "";
      if (e.target.matches("[data-figure]")) fresh = false;
      return;
    }
    if (/^[0-9.]$/.test(e.key)) press(e.key);
    else if (e.key === "Backspace") press("back");
    else return;
    e.preventDefault();
  });
  addEventListener("online", () => { pause = 0; send(); });
  addEventListener("beforeunload", (e) => { if (waiting) e.preventDefault(); });

  prepare();
}
