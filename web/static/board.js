// The live board. The page is complete as it came; this listens to what changes
// and puts it into the rows, goes on from where it was after a break, and says in
// words when it does not know any more.

const table = document.getElementById("board");
if (table) start(table, table.dataset.unit === "matches" ? (await import("./matches.js")).matches(table) : null);

// start keeps a board alive: a table of rows, or the cards of matches.
function start(table, matches) {
  const body = table.tBodies?.[0];
  const screen = table.dataset.screen === "1";
  const line = document.getElementById("board-line");
  const clock = document.getElementById("board-clock");
  const fresh = document.getElementById("board-fresh");
  const holdButton = document.getElementById("board-hold");

  let ranking = table.dataset.ranking;
  let position = Number(table.dataset.position);
  let rankings = [];
  let held = false;
  let waiting = [];
  let due = false;
  let loading = false;
  let rows = new Map(); // by number
  let order = []; // numbers, as the ranking shown has them
  if (body) index();
  let source = null;
  let heard = Date.now();
  let open = false;
  let said = "";
  // The server's clock less this device's, so that a phone that goes wrong still
  // shows the club's time.
  let skew = Date.parse(table.dataset.now) - Date.now();
  const offset = Number(table.dataset.offset) * 1000;
  const beatEvery = 15_000;

  // ---- how fresh it is -------------------------------------------------

  function clockText(at) {
    return new Date(at + skew + offset).toISOString().slice(11, 19);
  }

  function tell() {
    const silent = Date.now() - heard;
    const lost = !open || silent > beatEvery * 1.7;
    const words = lost ? "Not connected. This is how it stood at" : held ? "Held still at" : "Live, as of";
    fresh.classList.toggle("lost", lost && silent > 4_000);
    if (words !== said && (!lost || silent > 4_000)) line.textContent = said = words;
    const now = clockText(heard);
    if (!held && clock.textContent !== now) clock.textContent = now;
    if (lost && silent > beatEvery * 1.7 && (!source || source.readyState !== EventSource.CONNECTING)) connect();
  }

  function alive(serverTime) {
    heard = Date.now();
    open = true;
    if (serverTime) skew = Date.parse(serverTime) - heard;
    tell();
  }

  // ---- the stream ------------------------------------------------------

  function connect() {
    if (source) source.close();
    const url = new URL(table.dataset.stream, location.href);
    url.searchParams.set("after", position);
    source = new EventSource(url);
    source.addEventListener("open", () => alive());
    source.addEventListener("beat", (e) => alive(JSON.parse(e.data).time));
    source.addEventListener("board", (e) => { alive(); take({ whole: JSON.parse(e.data) }); });
    source.addEventListener("patch", (e) => { alive(); take({ frame: JSON.parse(e.data) }); });
    source.addEventListener("error", () => {
      open = false;
      if (source.readyState === EventSource.CLOSED) setTimeout(connect, 3_000 + Math.random() * 3_000);
      tell();
    });
  }

  // take keeps a change until the screen is drawn next: however fast scores come,
  // the rows are laid out once a picture.
  function take(change) {
    waiting.push(change);
    if (held) {
      holdButton.textContent = `Go on (${waiting.length} ${waiting.length === 1 ? "change" : "changes"})`;
      return;
    }
    if (due) return;
    due = true;
    if (document.hidden) setTimeout(draw, 500);
    else requestAnimationFrame(draw);
  }

  function draw() {
    due = false;
    if (held) return;
    const changes = waiting;
    waiting = [];
    keepInView(() => {
      for (const change of changes) {
        if (change.whole) replace(change.whole);
        else if (!patch(change.frame)) return;
      }
      if (body) arrange();
    });
    if (screen) turn(false);
  }

  // ---- the rows --------------------------------------------------------

  function index() {
    rows = new Map([...body.rows].map((tr) => [Number(tr.dataset.no), tr]));
    order = [...rows.keys()];
  }

  function drop(no) {
    rows.get(no)?.remove();
    rows.delete(no);
  }

  function replace(board) {
    if (!heading(board)) return;
    if (matches) {
      if (!matches.whole(board)) reload();
      return;
    }
    const shown = board.rows.filter((r) => r.places[ranking]).sort((a, b) => a.places[ranking].order - b.places[ranking].order);
    order = shown.map((r) => r.no);
    const keep = new Set(order);
    for (const no of [...rows.keys()]) if (!keep.has(no)) drop(no);
    for (const row of shown) {
      put(row, false);
      stand(row.no, row.places[ranking].position);
    }
  }

  // patch puts a frame on the board; false where it does not follow it.
  function patch(frame) {
    if (frame.base !== position) {
      reload();
      return false;
    }
    if (!heading(frame)) return false;
    if (matches) {
      if (matches.part(frame)) return true;
      reload();
      return false;
    }
    for (const no of frame.removed) drop(no);
    for (const row of frame.changed) {
      if (row.places[ranking]) put(row, true);
      else drop(row.no);
    }
    for (const span of frame.spans) {
      if (span.ranking !== ranking) continue;
      span.rows.forEach((no, i) => {
        order[span.from + i] = no;
        stand(no, span.positions[i]);
      });
    }
    return true;
  }

  // stand writes the position of a row.
  function stand(no, where) {
    const tr = rows.get(no);
    if (!tr) return;
    tr.classList.toggle("loose", where === "");
    text(tr, ".pos", where);
  }

  // arrange brings the rows into their order and moves no more of them than it
  // has to: the longest run that stands right already stays.
  function arrange() {
    order = [...new Set(order)].filter((no) => rows.has(no));
    const at = new Map(order.map((no, i) => [no, i]));
    const stay = longestRise([...body.rows].map((tr) => at.get(Number(tr.dataset.no)) ?? -1));
    let next = null;
    for (let i = order.length - 1; i >= 0; i--) {
      const tr = rows.get(order[i]);
      if (!stay.has(i) && tr.nextElementSibling !== next) body.insertBefore(tr, next);
      next = tr;
    }
  }

  // longestRise is the longest subsequence that rises, as a set of its values.
  function longestRise(values) {
    const ends = []; // index of the lowest end of a run of each length
    const before = new Array(values.length).fill(-1);
    values.forEach((v, i) => {
      if (v < 0) return;
      let lo = 0;
      let hi = ends.length;
      while (lo < hi) {
        const mid = (lo + hi) >> 1;
        if (values[ends[mid]] < v) lo = mid + 1;
        else hi = mid;
      }
      before[i] = lo > 0 ? ends[lo - 1] : -1;
      ends[lo] = i;
    });
    const run = new Set();
    for (let i = ends.at(-1) ?? -1; i >= 0; i = before[i]) run.add(values[i]);
    return run;
  }

  // put fills the row of an entry, making it where it is new.
  function put(row, mark) {
    let tr = rows.get(row.no);
    if (!tr) {
      tr = document.getElementById("board-blank").content.firstElementChild.cloneNode(true);
      tr.dataset.no = row.no;
      body.append(tr);
      rows.set(row.no, tr);
      order.push(row.no);
    }
    const before = tr.querySelector(".n").textContent + tr.querySelector(".fig").textContent;
    fill(tr, row);
    const after = tr.querySelector(".n").textContent + tr.querySelector(".fig").textContent;
    if (mark && before !== after) {
      tr.classList.add("fresh-row");
      clearTimeout(tr.markTimer);
      tr.markTimer = setTimeout(() => tr.classList.remove("fresh-row"), 20_000);
    }
  }

  function fill(tr, row) {
    const [basis, division] = ranking.split("/");
    const name = tr.querySelector(".who");
    let link = name.querySelector("a");
    if (row.card_id && !link) {
      link = document.createElement("a");
      name.firstChild.replaceWith(link);
    }
    write(link ?? name.firstChild, row.name || "Name not shown");
    if (link) point(link, row.card_id && `/cards/${row.card_id}`);
    const about = [];
    if (row.team_name) about.push(...[row.player_name, ...row.partners.map((p) => p.name)].map((n) => n || "Name not shown"));
    if (row.playing_handicap !== null && !row.partners) about.push(`plays off ${playing(row.playing_handicap)}`);
    about.push(row.par_difference > 0 ? `${row.tee} (par ${toPar(row.par_difference)})` : row.tee);
    if (row.division && !division) about.push(row.division);
    text(tr, ".about", about.join(", "));
    tr.classList.toggle("other-par", row.par_difference > 0);
    const shown = figure(row, basis);
    text(tr, ".note", note(row, shown.figure));
    let fig = tr.querySelector(".fig a");
    if (!fig && row.card_id) {
      fig = document.createElement("a");
      tr.querySelector(".fig").append(fig);
    }
    if (fig) {
      write(fig, shown.figure);
      if (fig.className !== shown.tint) fig.className = shown.tint;
      point(fig, row.card_id && `/cards/${row.card_id}/figures`);
    }
    text(tr, ".tot", shown.total);
    tr.classList.toggle("missed", row.status === "MC");
    const rnd = tr.querySelector(".rnd");
    if (rnd) fillRounds(rnd, row, basis);
    text(tr, ".n", thru(row));
    const mv = tr.querySelector(".mv");
    const moved = row.movement ? `${row.movement > 0 ? "up" : "down"} ${Math.abs(row.movement)}` : "";
    if (mv.textContent.trim() === moved) return;
    mv.replaceChildren();
    if (moved) mv.append(document.getElementById(row.movement > 0 ? "board-rise" : "board-sink").content.cloneNode(true), moved);
  }

  // fillRounds writes one round beside the other.
  function fillRounds(cell, row, basis) {
    const made = [];
    for (const r of row.rounds ?? []) {
      const value = basis === "gross" ? r.gross : r.net;
      const level = basis === "gross" ? r.gross_level : r.net_level;
      if (value === null || level === null || r.thru === 0) continue;
      const strokes = table.dataset.unit === "strokes";
      const span = document.createElement("span");
      const said = table.dataset.unit === "points" ? String(value) : toPar(strokes ? level : value);
      span.append(
        Object.assign(document.createElement("span"), { className: "k", textContent: `R${r.round}` }), " ",
        Object.assign(document.createElement("b"), { className: tint(strokes ? level : -level), textContent: said }));
      made.push(span);
    }
    if (cell.textContent !== made.map((s) => s.textContent).join("")) cell.replaceChildren(...made);
  }

  // What is the same already is left alone: every write costs a layout.

  function write(at, said) {
    if (at.textContent !== said) at.textContent = said;
  }

  function text(tr, cell, said) {
    write(tr.querySelector(cell), said);
  }

  function point(link, href) {
    if (!href) link.removeAttribute("href");
    else if (link.getAttribute("href") !== href) link.href = href;
  }

  const playing = (n) => (n < 0 ? `+${-n}` : String(n));
  const toPar = (n) => (n < 0 ? `\u2212${-n}` : n === 0 ? "E" : `+${n}`);
  const tint = (n) => (n < 0 ? "under" : n > 0 ? "over" : "level");

  function figure(row, basis) {
    const gross = basis === "gross";
    if (table.dataset.unit === "holes") {
      const holes = gross ? row.gross_par_bogey : row.par_bogey;
      const other = gross ? row.par_bogey : row.gross_par_bogey;
      if (holes === undefined) return { figure: "", tint: "", total: "" };
      return { figure: toPar(holes), tint: tint(-holes), total: other === undefined ? "" : toPar(other) };
    }
    if (table.dataset.unit === "points") {
      const points = gross ? row.gross_points : row.points;
      const level = gross ? row.gross_level : row.level;
      if (points === null) return { figure: "", tint: "", total: "" };
      return { figure: String(points), tint: level === null ? "" : tint(-level), total: level === null ? "" : toPar(level) };
    }
    const n = gross ? row.gross_to_par : row.net_to_par;
    const strokes = gross ? row.gross : row.net;
    if (n === null) return { figure: "", tint: "", total: "" };
    return { figure: toPar(n), tint: tint(n), total: strokes === null ? "" : String(strokes) };
  }

  function thru(row) {
    if (row.status && row.status !== "in_play" && row.status !== "returned") return row.status;
    if (row.returned) return "in";
    return row.thru > 0 ? String(row.thru) : row.group_time;
  }

  function holeList(holes) {
    if (holes.length === 1) return `hole ${holes[0]}`;
    return `holes ${holes.slice(0, -1).join(", ")} and ${holes.at(-1)}`;
  }

  const parts = { "1/2": "½", "1/3": "⅓", "2/3": "⅔", "1/6": "⅙", "5/6": "⅚", "1/9": "⅑" };

  function mixed(v) {
    const [num, den] = v.split("/").map(Number);
    const sign = num < 0 ? "\u2212" : "";
    const whole = Math.floor(Math.abs(num) / den);
    const rest = `${Math.abs(num) % den}/${den}`;
    const part = parts[rest] ?? (whole > 0 ? ` ${rest}` : rest);
    return sign + (whole > 0 ? whole : "") + part;
  }

  function note(row, figure) {
    if (row.differences.length > 0) return `Player and marker differ on ${holeList(row.differences)}`;
    if (!row.countback && row.status === "MC") return "Missed the cut";
    if (row.countback) return `Countback: ${row.countback.replace(/-?\d+\/\d+/g, mixed).replace(/(\d)-(\d)/g, "$1\u2013$2")}`;
    if (figure === "" && row.thru > 0 && row.status === "in_play") return "A hole has no score, so there is no total";
    return "";
  }

  // keepInView changes rows while the one that is being read, or has the focus,
  // stays where it is on the screen.
  function keepInView(change) {
    const focused = document.activeElement?.closest?.("#board tr, #board .match") ? document.activeElement : null;
    let anchor = focused?.closest("tr, .match");
    if (!anchor && window.scrollY > table.offsetTop) {
      anchor = [...(body?.rows ?? table.querySelectorAll(".match"))].find((tr) => tr.getBoundingClientRect().top >= 40);
    }
    const top = anchor?.getBoundingClientRect().top;
    change();
    if (anchor?.isConnected && !screen) window.scrollBy(0, anchor.getBoundingClientRect().top - top);
    if (focused?.isConnected && document.activeElement !== focused) focused.focus({ preventScroll: true });
  }

  // ---- the heading -----------------------------------------------------

  // heading says what holds for the whole board; false where the page has to be
  // fetched anew: in another round, and after a cut.
  function heading(h) {
    position = h.position;
    rankings = h.rankings;
    const words = !h.provisional ? "Final" : h.round < 2 && (h.phase === "planned" || h.phase === "drawn") ? "Not started" : "Provisional";
    const state = document.getElementById("board-state");
    if (state.textContent !== words) state.textContent = words;
    state.classList.toggle("sea", words === "Final");
    const halt = document.getElementById("board-halt");
    const stopped = h.phase === "suspended" && h.suspension;
    if (stopped) {
      const what = h.suspension.kind === "immediate"
        ? "Stop at once and follow the committee’s instructions."
        : "Finish the hole or stop, as the rules allow.";
      document.getElementById("board-halt-words").textContent = [sentence(h.suspension.reason), what].filter(Boolean).join(" ");
    }
    halt.hidden = !stopped;
    if (String(h.round) === table.dataset.round && Boolean(h.cut) === Boolean(table.dataset.cut) &&
      (rankings.length === 0 || rankings.includes(ranking))) return true;
    reload();
    return false;
  }

  function sentence(s) {
    if (!s) return "";
    s = s[0].toUpperCase() + s.slice(1);
    return s.endsWith(".") ? s : `${s}.`;
  }

  // ---- another ranking, without a new page -----------------------------

  async function show(url, push) {
    line.textContent = said = "Fetching";
    loading = true;
    let doc;
    try {
      const answer = await fetch(url, { headers: { Accept: "text/html" } });
      if (!answer.ok) throw new Error(String(answer.status));
      doc = new DOMParser().parseFromString(await answer.text(), "text/html");
    } catch {
      location.href = url;
      return;
    } finally {
      loading = false;
    }
    const next = doc.getElementById("board");
    if (!next) { location.href = url; return; }
    if (next.tagName !== table.tagName || next.dataset.unit !== table.dataset.unit) { location.href = url; return; }
    for (const k of ["ranking", "position", "stream", "round", "cut"]) table.dataset[k] = next.dataset[k];
    ranking = next.dataset.ranking;
    position = Number(next.dataset.position);
    waiting = [];
    if (body) {
      table.className = next.className;
      table.caption.textContent = next.caption.textContent;
      table.tHead.replaceWith(document.adoptNode(next.tHead));
      body.replaceChildren(...document.adoptNode(next.tBodies[0]).children);
      index();
    } else {
      table.replaceChildren(...document.adoptNode(next).childNodes);
    }
    for (const id of ["board-bases", "board-divisions", "board-ranking", "board-round", "board-cut", "board-refresh"]) {
      const mine = document.getElementById(id);
      const theirs = doc.getElementById(id);
      if (!mine || !theirs) continue;
      const focused = mine.contains(document.activeElement) ? [...mine.children].indexOf(document.activeElement) : -1;
      mine.replaceChildren(...document.adoptNode(theirs).childNodes);
      if (theirs.href) mine.href = theirs.href;
      if (focused >= 0) mine.children[focused]?.focus();
    }
    if (push) history.pushState(null, "", url);
    connect();
    tell();
  }

  function reload() { if (!loading) show(location.href, false); }

  for (const id of ["board-bases", "board-divisions"]) {
    document.getElementById(id)?.addEventListener("click", (e) => {
      const a = e.target.closest("a");
      if (!a || e.ctrlKey || e.metaKey || e.shiftKey) return;
      e.preventDefault();
      show(a.href, true);
    });
  }
  addEventListener("popstate", () => show(location.href, false));

  // ---- holding still ---------------------------------------------------

  if (holdButton) {
    holdButton.hidden = false;
    holdButton.addEventListener("click", () => {
      held = !held;
      holdButton.setAttribute("aria-pressed", String(held));
      holdButton.textContent = held ? "Go on" : "Hold still";
      if (!held && waiting.length > 0) draw();
      tell();
    });
  }

  // ---- turning pages on a big screen -----------------------------------

  let first = 0;

  function turn(next) {
    if (matches) {
      const shown = matches.turn(first, next);
      first = shown.first;
      document.getElementById("board-page").textContent = shown.pages > 1 ? `, page ${shown.page} of ${shown.pages}` : "";
      return;
    }
    const rows = [...body.rows];
    for (const tr of rows) tr.hidden = false;
    const height = rows[0]?.getBoundingClientRect().height || 1;
    const room = innerHeight - body.getBoundingClientRect().top - innerHeight * 0.03;
    const size = Math.max(1, Math.floor(room / height));
    if (next) first += size;
    if (first >= rows.length) first = 0;
    rows.forEach((tr, i) => { tr.hidden = i < first || i >= first + size; });
    const pages = Math.ceil(rows.length / size);
    document.getElementById("board-page").textContent = pages > 1 ? `, page ${Math.floor(first / size) + 1} of ${pages}` : "";
  }

  if (screen) {
    turn(false);
    addEventListener("resize", () => turn(false));
    setInterval(() => turn(true), 12_000);
  }

  document.addEventListener("visibilitychange", () => { if (!document.hidden) tell(); });
  setInterval(tell, 1_000);
  connect();
}
