// A match on a phone: what is pressed is on its way at once; what could not be
// sent stays in sight and is sent again with the same key, so that it counts once.
// The page works without this file, a form at a time.

const main = document.getElementById("match");
if (main) start(main.dataset.match);

function start(id) {
  const at = `/matches/${id}`;
  let sending = null; // what is on its way
  let touched = false; // a form has something that is not sent yet

  const root = () => document.getElementById("match");

  // put shows the match as the service has it.
  function put(html, move) {
    const doc = new DOMParser().parseFromString(html, "text/html");
    const next = doc.getElementById("match");
    if (!next) return false;
    const open = [...root().querySelectorAll("details")].map((d) => d.open);
    root().replaceWith(document.adoptNode(next));
    if (!move) root().querySelectorAll("details").forEach((d, i) => { d.open = open[i] ?? d.open; });
    touched = false;
    if (move) scrollTo({ top: 0 });
    return true;
  }

  async function send(form, body) {
    if (sending) return;
    sending = { url: form.action, body, pause: 1_500 };
    for (const b of root().querySelectorAll("button")) b.disabled = true;
    while (sending) {
      let answer = null;
      try {
        answer = await fetch(sending.url, {
          method: "POST", headers: { Accept: "text/html" }, body: sending.body,
          signal: AbortSignal.timeout ? AbortSignal.timeout(15_000) : undefined,
        });
      } catch {
        answer = null;
      }
      const html = answer && answer.status < 500 && answer.status !== 429 ? await answer.text().catch(() => null) : null;
      if (html !== null) {
        sending = null;
        history.replaceState(null, "", at);
        if (!put(html, true)) location.assign(at);
        return;
      }
      unsent();
      await new Promise((go) => {
        const timer = setTimeout(go, sending.pause);
        addEventListener("online", () => { clearTimeout(timer); go(); }, { once: true });
      });
      sending.pause = Math.min(sending.pause * 2, 20_000);
    }
  }

  function unsent() {
    const box = document.getElementById("unsent");
    box.hidden = false;
    const p = document.createElement("p");
    p.append(Object.assign(document.createElement("strong"), { textContent: "Not sent yet." }), " Kept on this page while it is open; trying again by itself.");
    box.replaceChildren(p);
  }

  async function refresh(url, move) {
    try {
      const answer = await fetch(url, { headers: { Accept: "text/html" } });
      if (answer.ok && !sending && (move || !touched)) put(await answer.text(), move);
    } catch {
      // the next time
    }
  }

  document.addEventListener("submit", (e) => {
    if (!e.target.closest("#match") || e.target.method !== "post") return;
    e.preventDefault();
    const data = new URLSearchParams(new FormData(e.target, e.submitter));
    send(e.target, data);
  });

  document.addEventListener("input", (e) => { if (e.target.closest("#match")) touched = true; });

  document.addEventListener("click", (e) => {
    const a = e.target.closest("a");
    if (!a || e.ctrlKey || e.metaKey || e.shiftKey) return;
    const url = new URL(a.href, location.href);
    if (url.origin !== location.origin || url.pathname !== at) return;
    e.preventDefault();
    history.replaceState(null, "", url);
    refresh(url, true);
  });

  addEventListener("beforeunload", (e) => { if (sending) e.preventDefault(); });
  // What the other side enters comes by itself, at a pace that spares the battery.
  // The hole on the screen stays under the thumb; a phone that comes out of the
  // pocket shows the hole that is played.
  const idle = () => !document.hidden && !sending && !touched;
  const shown = () => {
    const hole = root().querySelector(".who-won [name=number]");
    return hole ? `${at}?hole=${hole.value}` : at;
  };
  document.addEventListener("visibilitychange", () => {
    if (!idle()) return;
    history.replaceState(null, "", at);
    refresh(at, false);
  });
  setInterval(() => { if (idle()) refresh(shown(), false); }, 20_000);
}
