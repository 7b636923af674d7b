// The card on a phone: a tap is on the screen at once and on its way; what could
// not be sent stays in sight and is sent again with the same key, so that it
// counts once. The page works without this file, a form at a time.

const hole = document.getElementById("hole");
if (hole) start(hole);

function start(hole) {
  const card = hole.dataset.card;
  const all = document.getElementById("all");
  const keys = document.getElementById("keys"); // of a card of one ball
  const more = document.getElementById("more");
  const rows = [...document.querySelectorAll(".ball")]; // of a side: one a ball
  const undo = document.getElementById("undo");
  const unsent = document.getElementById("unsent");
  const el = (id) => document.getElementById(id);

  let role = "";
  let holes = []; // in the order of play
  let now = null;
  let last = null; // the entry made last
  let queue = []; // what is still to be sent, in order
  let sending = false;
  let pause = 0;
  let timer = 0;
  let pressed = false; // a button of the part that comes anew

  // ---- what the card says ----------------------------------------------

  function read() {
    const table = el("holes");
    role = table.dataset.role;
    const lines = [...table.querySelectorAll("tr[data-hole]")].map((tr) => {
      const cells = [...tr.querySelectorAll("td[data-ball]")];
      return {
        tr,
        number: Number(tr.dataset.hole),
        side: tr.dataset.side ?? "",
        balls: cells.length > 0 ? cells.map((td) => ball(td.dataset, td, td)) : [ball(tr.dataset, tr.querySelector(".strokes"), tr)],
      };
    });
    const first = Math.max(0, lines.findIndex((h) => h.number === Number(table.dataset.starting)));
    holes = [...lines.slice(first), ...lines.slice(0, first)];
    for (const item of queue) overlay(item);
    if (table.dataset.write !== "true") hole.hidden = true;
  }

  const ball = (data, cell, mark) => ({
    cell,
    mark, // what shows that an entry is on its way
    par: Number(data.par),
    si: data.si,
    length: Number(data.length),
    max: Number(data.max ?? 0),
    received: Number(data.received),
    mine: data.mine,
    theirs: data.theirs,
    settled: data.settled,
  });

  const find = (number) => holes.find((h) => h.number === number);

  // overlay puts an entry that is on its way over what the server said.
  function overlay(item) {
    if (item.path !== "scores") return;
    const b = find(item.body.hole)?.balls[item.body.ball ?? 0];
    if (!b) return;
    b.mine = valueOf(item.body);
    b.cell.replaceChildren();
    if (b.mine !== "") {
      const v = document.createElement("span");
      v.className = "v";
      v.textContent = rows.length > 0 && b.mine === "picked_up" ? "\u2013" : words(b.mine);
      b.cell.append(v);
    }
    b.mark.classList.add("waiting");
  }

  const valueOf = (body) => (body.clear ? "" : body.none ? body.none : String(body.strokes));
  const words = (v) => (v === "picked_up" ? "picked up" : v === "no_score" ? "no score" : v);

  // ---- the hole on the screen --------------------------------------------

  function show(number, move) {
    const at = holes.findIndex((h) => h.number === number);
    if (at < 0) return;
    now = holes[at];
    hole.hidden = false;
    el("hole-number").textContent = now.number;
    const lead = now.balls[0];
    el("hole-par").textContent = lead.par;
    el("hole-si").textContent = lead.si;
    el("hole-length").textContent = lead.length ? `${lead.length} m` : "";
    step("hole-before", holes[at - 1]);
    step("hole-next", holes[at + 1]);
    const log = el("log-strokes");
    if (log) log.href = `/cards/${card}/strokes?hole=${now.number}`;
    for (const input of hole.querySelectorAll('form:not(#undo) [name="hole"]')) input.value = now.number;
    if (keys) {
      received(el("hole-received"), lead.received, "No stroke received");
      if (lead.max) el("hole-max").replaceChildren("at most ", Object.assign(document.createElement("b"), { textContent: lead.max }), " count");
      for (const b of keys.querySelectorAll('[name="strokes"]')) {
        const n = Number(b.value);
        b.querySelector(".rel").textContent = n === lead.par ? "par" : toPar(n - lead.par);
      }
      el("many").open = false;
      more.reset();
    }
    rows.forEach((row, i) => {
      const b = now.balls[i];
      received(row.querySelector(".received"), b.received, "no stroke");
      row.querySelector(".ball-par").textContent = `par ${b.par}${b.max ? `, at most ${b.max}` : ""}`;
      row.querySelector(".ball-more").open = false;
      row.querySelector(".ball-many").reset();
      row.querySelector('.ball-many [name="hole"]').value = now.number;
    });
    mark();
    for (const h of holes) h.tr.classList.toggle("here", h === now);
    history.replaceState(null, "", `/cards/${card}?hole=${now.number}`);
    if (move) scrollTo({ top: 0 });
  }

  // mark shows on the keys and beside them what stands.
  function mark() {
    if (keys) {
      stands(el("hole-stands"), now.balls[0]);
      choose(keys, now.balls[0]);
    }
    rows.forEach((row, i) => {
      stands(row.querySelector(".stands"), now.balls[i]);
      choose(row.querySelector(".ball-keys"), now.balls[i]);
    });
    if (rows.length > 0) el("hole-side").textContent = now.side;
  }

  function choose(form, b) {
    for (const key of form.querySelectorAll("button")) {
      key.classList.toggle("chosen", b.mine !== "" && key.value === b.mine);
      key.classList.toggle("at-par", key.name === "strokes" && Number(key.value) === b.par);
    }
  }

  const toPar = (n) => (n < 0 ? `\u2212${-n}` : n === 0 ? "E" : `+${n}`);

  function step(id, h) {
    const a = el(id);
    a.hidden = !h;
    if (!h) return;
    a.href = `/cards/${card}?hole=${h.number}`;
    a.querySelector("span").textContent = h.number;
  }

  function received(p, n, none) {
    p.replaceChildren();
    for (let i = 0; i < n; i++) p.append(el("blade").content.cloneNode(true));
    const many = Math.abs(n) === 1 ? "stroke" : "strokes";
    p.append(n > 0 ? ` ${n} ${many} received` : n < 0 ? `${-n} ${many} given back` : none);
  }

  function stands(p, b) {
    p.replaceChildren();
    const bold = (t) => Object.assign(document.createElement("b"), { textContent: t });
    if (b.settled) {
      p.append("The committee settled this hole: ", bold(words(b.settled)), ".");
      return;
    }
    if (b.mine) p.append("You entered ", bold(words(b.mine)), ".");
    if (b.theirs) {
      p.append(role === "marker" ? " The player has " : " Your marker has ", bold(words(b.theirs)), ".");
      if (b.mine && b.mine !== b.theirs) {
        p.append(" ", Object.assign(document.createElement("strong"), { className: "differ", textContent: "These differ." }));
      }
    }
  }

  // ---- entering ----------------------------------------------------------

  // Unlikely as the service sees it; it asks again itself where this misses one.
  const unlikely = (par, n) => n <= par - 3 || (n === 1 && par > 3) || n >= par + 6;

  // enter takes what one key says for a ball. A card of one ball goes on to the next
  // hole by itself; that of a side once each ball has an entry.
  function enter(number, body, confirmed, at = 0) {
    const h = find(number);
    const b = h?.balls[at];
    if (!b) return;
    if (body.strokes && !confirmed && unlikely(b.par, body.strokes)) {
      ask(h, body, at);
      return;
    }
    document.getElementById("asked")?.remove();
    last = { hole: number, ball: at, was: b.mine, is: valueOf(body) };
    const entry = { hole: number, ...(at > 0 ? { ball: at } : {}), ...body };
    if (body.strokes && unlikely(b.par, body.strokes)) entry.confirmed = true;
    push("scores", entry);
    tellUndo();
    const empty = (x) => x.balls.every((k) => !k.mine && !k.settled);
    if (!h.balls.every((k) => k.mine || k.settled)) {
      if (now) mark();
      return;
    }
    const place = holes.indexOf(h);
    const next = [...holes.slice(place + 1), ...holes.slice(0, place)].find(empty);
    const taken = `${words(valueOf(body))} on hole ${number}.`;
    el("said").textContent = next ? `${taken} Now hole ${next.number}, par ${next.balls[0].par}.` : `${taken} No hole is left without an entry.`;
    if (next) show(next.number, true);
    else if (now) show(now.number, false);
    if (!next) el("all").scrollIntoView({ block: "start" });
  }

  function ask(h, body, at) {
    document.getElementById("asked")?.remove();
    const box = document.createElement("div");
    box.id = "asked";
    box.className = "asked";
    box.setAttribute("role", "alert");
    const p = document.createElement("p");
    const form = keys ?? rows[at].querySelector(".ball-keys");
    const whose = rows.length > 0 ? `${rows[at].querySelector(".ball-head b").textContent}: ` : "";
    p.append(Object.assign(document.createElement("strong"), { textContent: `${whose}${body.strokes} on hole ${h.number}, a par ${h.balls[at].par}?` }), " That is rare. Is it meant?");
    const yes = Object.assign(document.createElement("button"), { type: "button", textContent: `Yes, ${body.strokes}` });
    const no = Object.assign(document.createElement("button"), { type: "button", className: "plain", textContent: "No, enter it again" });
    yes.addEventListener("click", () => { box.remove(); enter(h.number, body, true, at); });
    no.addEventListener("click", () => { box.remove(); form.querySelector("button").focus(); });
    const line = Object.assign(document.createElement("div"), { className: "actions" });
    line.append(yes, no);
    box.append(p, line);
    form.before(box);
    yes.focus();
  }

  function tellUndo() {
    undo.hidden = !last;
    if (!last) return;
    const b = find(last.hole).balls[last.ball];
    el("undo-words").textContent = `Undo ${b.mine === "" ? "" : words(b.mine)} on ${last.hole}`;
  }

  // ---- sending -------------------------------------------------------------

  function newKey() {
    if (crypto.randomUUID) return crypto.randomUUID();
    const b = crypto.getRandomValues(new Uint8Array(16)); // plain HTTP on the club's network
    return [...b].map((x) => x.toString(16).padStart(2, "0")).join("");
  }

  // sawOf is what the screen shows of a ball, entries on their way included: the
  // service refuses what would go over anything else.
  function sawOf(b) {
    const value = (text) => (text === "" ? {} : /^\d+$/.test(text) ? { strokes: Number(text) } : { none: text });
    const [mine, theirs, committee] = [b.mine, b.theirs, b.settled].map(value);
    return role === "marker" ? { player: theirs, marker: mine, committee } : { player: mine, marker: theirs, committee };
  }

  function push(path, body) {
    const b = path === "scores" ? find(body.hole)?.balls[body.ball ?? 0] : null;
    if (b && !body.saw) body = { ...body, saw: sawOf(b) };
    const item = { path, body, key: newKey(), at: new Date().toISOString(), failed: false };
    queue.push(item);
    overlay(item);
    pause = 0;
    pump();
  }

  async function pump() {
    clearTimeout(timer);
    if (sending) return;
    sending = true;
    try {
      while (queue.length > 0) {
        const item = queue[0];
        const outcome = await send(item);
        if (outcome === "again") {
          item.failed = true;
          pause = Math.min(pause ? pause * 2 : 2_000, 20_000);
          timer = setTimeout(pump, pause);
          return;
        }
        queue.shift();
        pause = 0;
        if (outcome.problem && item.path === "scores" && last?.hole === item.body.hole && last.ball === (item.body.ball ?? 0)) {
          last = null; // nothing was entered that could be taken back
          tellUndo();
        }
        const changed = outcome.problem?.code === "changed_since";
        if (outcome.problem && !changed) refuse(item, outcome.problem);
        await refresh();
        if (changed) conflict(item, outcome.problem);
      }
    } finally {
      sending = false;
      tellUnsent();
    }
  }

  async function send(item) {
    let answer;
    try {
      answer = await fetch(`/api/v1/cards/${card}/${item.path}`, {
        method: "POST",
        headers: { "Content-Type": "application/json", "Idempotency-Key": item.key, "Recorded-At": item.at },
        body: JSON.stringify(item.body),
        signal: AbortSignal.timeout ? AbortSignal.timeout(15_000) : undefined,
      });
    } catch {
      return "again";
    }
    if (answer.ok) return {};
    if (answer.status >= 500 || answer.status === 429 || answer.status === 408) return "again";
    try {
      return { problem: await answer.json() };
    } catch {
      return "again"; // something between us and the service answered
    }
  }

  function tellUnsent() {
    const failed = queue.filter((q) => q.failed);
    unsent.hidden = failed.length === 0;
    unsent.replaceChildren();
    if (failed.length === 0) return;
    const head = document.createElement("p");
    head.append(Object.assign(document.createElement("strong"), { textContent: "Not sent yet." }), " Kept on this page while it is open; trying again by itself.");
    const list = document.createElement("ul");
    for (const item of queue) {
      const li = document.createElement("li");
      li.textContent = item.path === "scores"
        ? `Hole ${item.body.hole}: ${valueOf(item.body) === "" ? "entry taken back" : words(valueOf(item.body))}`
        : item.path === "return" ? "Return of the card" : "Certification";
      list.append(li);
    }
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: "Send now" });
    button.addEventListener("click", () => { pause = 0; pump(); });
    unsent.append(head, list, button);
  }

  const asSentence = (t) => `${t[0].toUpperCase()}${t.slice(1)}${t.endsWith(".") ? "" : "."}`;

  // conflict shows an entry that the hole has changed under beside what stands there
  // now; it stays until somebody chooses.
  function conflict(item, problem) {
    const { hole: number, ball: at = 0 } = item.body;
    const b = find(number)?.balls[at];
    if (!b) { refuse(item, problem); return; }
    const box = Object.assign(document.createElement("div"), { className: "asked conflict" });
    box.setAttribute("role", "alert");
    const whose = rows.length > 0 ? ` for ${rows[at].querySelector(".ball-head b").textContent}` : "";
    const says = document.createElement("p");
    says.append(Object.assign(document.createElement("strong"), { textContent: `Not entered${whose}.` }), ` ${asSentence(problem.detail)}`);
    const now = document.createElement("p");
    stands(now, b);
    const line = Object.assign(document.createElement("div"), { className: "actions" });
    const wanted = valueOf(item.body);
    if (!b.settled) {
      const saw = sawOf(b);
      const enterIt = Object.assign(document.createElement("button"), { type: "button", textContent: wanted === "" ? "Take mine back" : `Enter ${words(wanted)}` });
      enterIt.addEventListener("click", () => {
        box.remove();
        last = { hole: number, ball: at, was: b.mine, is: wanted };
        push("scores", { ...item.body, saw, confirmed: true });
        tellUndo();
      });
      line.append(enterIt);
    }
    const keep = Object.assign(document.createElement("button"), { type: "button", className: "plain", textContent: b.settled ? "Go on" : b.mine ? `Keep ${words(b.mine)}` : "Leave it as it is" });
    keep.addEventListener("click", () => box.remove());
    line.append(keep);
    box.append(says, now, line);
    unsent.before(box);
  }

  function refuse(item, problem) {
    const box = document.createElement("div");
    box.className = "refused";
    box.setAttribute("role", "alert");
    const what = item.path === "scores" ? `Hole ${item.body.hole}, ${words(valueOf(item.body))}: not entered.` : "Not done.";
    const detail = asSentence(problem.detail || problem.title || "The service refused it.");
    box.append(Object.assign(document.createElement("strong"), { textContent: what }), ` ${detail} `);
    const close = Object.assign(document.createElement("button"), { type: "button", className: "plain", textContent: "Understood" });
    close.addEventListener("click", () => box.remove());
    box.append(close);
    unsent.before(box);
  }

  // refresh fetches the card as the service has it: totals, the other's entries,
  // differences, what may be done next.
  async function refresh() {
    let text;
    try {
      const answer = await fetch(`/cards/${card}?part=all`, { headers: { Accept: "text/html" } });
      if (!answer.ok) return;
      text = await answer.text();
    } catch {
      return;
    }
    const doc = new DOMParser().parseFromString(text, "text/html");
    if (!doc.getElementById("holes") || !doc.getElementById("sums")) return;
    const number = now?.number;
    const focused = document.activeElement;
    const inside = all.contains(focused);
    el("sums").replaceWith(document.adoptNode(doc.getElementById("sums")));
    all.replaceChildren(...document.adoptNode(doc.getElementById("all")).childNodes);
    if (inside || pressed) focusAgain(inside ? focused : null);
    pressed = false;
    read();
    if (number && !hole.hidden) {
      now = find(number);
      for (const h of holes) h.tr.classList.toggle("here", h === now);
      mark();
    }
  }

  // focusAgain keeps who goes by keys where they were: on what is alike in the part
  // that came anew, else on its heading, which then says how things stand.
  function focusAgain(was) {
    const alike = was && [...all.querySelectorAll(was.tagName)].find((x) => x.textContent === was.textContent && x.getAttribute("href") === was.getAttribute("href"));
    const to = alike || all.querySelector(".receipt p, .differs h2, .hand-in h2, h2") || all;
    if (!alike) to.tabIndex = -1;
    to.focus({ preventScroll: Boolean(alike) });
  }

  // ---- listening -------------------------------------------------------------

  document.addEventListener("submit", (e) => {
    const form = e.target;
    const button = e.submitter;
    const data = new FormData(form);
    if (form === keys) {
      e.preventDefault();
      enter(now.number, button.name === "none" ? { none: button.value } : { strokes: Number(button.value) }, false);
    } else if (form === more) {
      e.preventDefault();
      enter(now.number, { strokes: Number(data.get("strokes")) }, false);
    } else if (form.closest(".ball")) {
      e.preventDefault();
      const at = Number(data.get("ball"));
      const body = button?.name === "none" ? { none: button.value } : button?.name === "clear" ? { clear: true }
        : { strokes: Number(button?.name === "strokes" ? button.value : data.get("strokes")) };
      enter(now.number, body, false, at);
    } else if (form === undo && last) {
      e.preventDefault();
      const was = last.was;
      const number = last.hole;
      // What it takes back is what it says, not what another phone entered since.
      const saw = sawOf({ ...find(number).balls[last.ball], mine: last.is });
      push("scores", { hole: number, saw, ...(last.ball > 0 ? { ball: last.ball } : {}), ...(was === "" ? { clear: true } : /^\d+$/.test(was) ? { strokes: Number(was), confirmed: true } : { none: was }) });
      last = null;
      tellUndo();
      show(number, true);
    } else if (form.classList.contains("settle")) {
      e.preventDefault();
      pressed = true;
      const number = Number(data.get("hole"));
      const at = Number(data.get("ball") ?? 0);
      push("scores", { hole: number, ...(at > 0 ? { ball: at } : {}), confirmed: true, ...(button.name === "none" ? { none: button.value } : { strokes: Number(button.value) }) });
    } else if (form.dataset.send) {
      e.preventDefault();
      if (queue.length > 0) { tellUnsent(); return; }
      button.disabled = true;
      pressed = true;
      push(form.dataset.send, {});
    }
  });

  document.addEventListener("click", (e) => {
    const a = e.target.closest("a");
    if (!a || e.ctrlKey || e.metaKey || e.shiftKey) return;
    const url = new URL(a.href, location.href);
    if (url.origin !== location.origin || url.pathname !== `/cards/${card}` || !url.searchParams.has("hole")) return;
    e.preventDefault();
    show(Number(url.searchParams.get("hole")), true);
  });

  addEventListener("beforeunload", (e) => { if (queue.length > 0) e.preventDefault(); });
  addEventListener("online", () => { pause = 0; pump(); });
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) return;
    pump();
    if (queue.length === 0) refresh();
  });
  // What the other one enters comes by itself, at a pace that spares the battery.
  setInterval(() => { if (!document.hidden && queue.length === 0 && !sending) refresh(); }, 30_000);

  read();
  const shown = Number(el("hole-number").textContent);
  if (shown && !hole.hidden) show(shown, false);
}
