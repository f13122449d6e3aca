"use strict";
(() => {
const $ = id => document.getElementById(id);
const key = "fitcoil bench log";
let kept = {name: "evening.csv", log: "", sheetName: "", sheet: "", lines: []};
let now = {parts: [], cores: [], unit: "MHz", readings: []}; // what the engine showed last
let waiting = 0;  // for the fit to be judged
let tops = [];    // parts chosen by button

const remember = () => {
  try {
    localStorage.setItem(key, JSON.stringify(kept));
    $("stored").textContent = "Kept in this browser until it is cleared; save the log to be sure of it.";
  } catch {
    $("stored").textContent = "This browser keeps nothing: save the log before the page is closed.";
  }
};

// unpack undoes what the assembly did: two characters are 13 bits, or 14.
const unpack = () => {
  const text = $("engine").textContent, bytes = new Uint8Array(+$("engine").dataset.length);
  const value = new Uint8Array(128);
  let n = 0;
  for (let c = 33; c < 127; c++) if (c !== 60) value[c] = n++;
  const spare = n * n - 8192;
  let at = 0, bits = 0, held = 0, first = -1;
  for (let i = 0; i < text.length && at < bytes.length; i++) {
    const c = text.charCodeAt(i);
    if (c < 33) continue;
    if (first < 0) { first = value[c]; continue; }
    const pair = first * n + value[c];
    bits |= pair << held;
    first = -1;
    for (held += (pair & 8191) < spare ? 14 : 13; held >= 8 && at < bytes.length; held -= 8) { bytes[at++] = bits; bits >>= 8; }
  }
  return bytes;
};

const start = async () => {
  const go = new Go();
  const ready = new Promise(done => { globalThis.fitcoilReady = done; });
  const packed = new Blob([unpack()]).stream().pipeThrough(new DecompressionStream("gzip"));
  const engine = await WebAssembly.instantiate(await new Response(packed).arrayBuffer(), go.importObject);
  go.run(engine.instance);
  await ready;
  try {
    const stored = JSON.parse(localStorage.getItem(key));
    if (stored && typeof stored.log === "string") kept = {...kept, ...stored};
  } catch { /* nothing is kept */ }
  $("all").disabled = false;
  if (!open(kept)) { $("reply").textContent += "What this browser kept can't be opened; save it, or clear all."; }
  judge();
  document.documentElement.dataset.ready = "yes";
};

// columns is how many characters the answer has room for in a line.
const columns = () => {
  const probe = el("pre", "0".repeat(40));
  probe.className = "probe";
  document.body.append(probe);
  const one = probe.getBoundingClientRect().width / 40;
  probe.remove();
  return Math.floor(($("answer").parentElement.clientWidth - 20) / one);
};

// open opens what is kept, or tells why it can't.
const open = next => {
  const shown = fitcoil.open(next.name, next.log, next.sheetName, next.sheet, next.lines, columns());
  if (shown.error) { refuse(shown.error); return false; }
  kept = next;
  show(shown);
  return true;
};

const refuse = text => { $("reply").textContent = text; $("reply").className = "refused"; };

const say = line => {
  const shown = fitcoil.line(line);
  if (shown.error) { refuse(shown.error); return false; }
  if (!shown.refused && /^(have|goal|±)/.test(line)) kept.lines.push(line);
  show(shown);
  return !shown.refused;
};

// show shows what the engine tells of a line, and then, when that is on the screen, what the
// fit says.
const show = told => {
  kept.log = told.log;
  remember();
  $("file").textContent = kept.name + (kept.sheetName ? " with " + kept.sheetName : "");
  $("next").textContent = held(told.next.text.replace(/^next: /, ""));
  $("reply").textContent = told.text;
  $("reply").className = told.refused ? "refused" : "";
  clearTimeout(waiting);
  waiting = setTimeout(judge, 30);
};

const judge = () => {
  const view = fitcoil.view();
  if (view.error) { refuse(view.error); return; }
  now = view;
  $("unit").textContent = view.unit;
  $("answer").textContent = view.answer;
  choices(view);
  rows(view.readings);
  figure(view.readings);
};

const el = (name, text, cls) => {
  const e = document.createElement(name);
  if (text !== undefined) e.textContent = text;
  if (cls) e.className = cls;
  return e;
};

// farads orders parts by their value; those without one come last.
const farads = part => parseFloat(part) * {f: 1e-15, p: 1e-12, n: 1e-9}[(/^[\d.]+([fpn])F/.exec(part) || [])[1]] || 1;

const choices = shown => {
  $("tops").replaceChildren(...["clip", ...shown.parts.slice().sort((a, b) => farads(a) - farads(b))].map(part => {
    const b = el("button", part === "clip" ? "empty clip" : part);
    b.type = "button";
    b.setAttribute("aria-pressed", tops.includes(part));
    b.onclick = () => {
      tops = tops.includes(part) ? tops.filter(p => p !== part) : part === "clip" ? ["clip"] : [...tops.filter(p => p !== "clip"), part];
      choices(now);
    };
    return b;
  }));
  const was = $("core").value;
  $("core").replaceChildren(el("option", "none"), ...shown.cores.map(c => el("option", c)));
  $("core").firstChild.value = "";
  $("core").value = shown.cores.includes(was) ? was : "";
};

const signed = z => z.toFixed(1).replace(/^-0\.0$/, "0.0").replace("-", "−");

const held = text => text.replace(/ ± /g, "\u00a0±\u00a0").replace(/(\d) (%|[fpnµmkM]?(?:F|Hz|H|Ω)\b|cm\b|σ)/g, "$1\u00a0$2");

const rows = readings => $("rows").replaceChildren(...readings.map(r => {
  const tr = el("tr");
  tr.className = (r.used ? "" : "out ") + (r.flagged ? "flagged" : "");
  const away = r.residual === undefined ? "" : signed(r.residual / r.uncertainty) + " σ";
  tr.append(el("td", r.line), el("td", held(r.frequency)), el("td", held(r.state)), el("td", away));
  return tr;
}));

// figure draws measured − fitted of each reading, in standard uncertainties, in the order read.
const figure = readings => {
  const list = readings.filter(r => r.residual !== undefined).map(r => ({...r, z: r.residual / r.uncertainty}));
  if (list.length < 2) { $("figure").replaceChildren(el("p", "Two readings and more are drawn here.", "small")); return; }
  const w = Math.max(300, $("figure").clientWidth), h = 240, left = 34, right = 10, top = 14, bottom = 34;
  const most = Math.max(3, ...list.map(r => Math.abs(r.z) + 1));
  const ns = "http://www.w3.org/2000/svg";
  const make = (name, set, text) => {
    const e = document.createElementNS(ns, name);
    for (const k in set) e.setAttribute(k, set[k]);
    if (text !== undefined) e.textContent = text;
    return e;
  };
  const y = z => top + (h - top - bottom) * (most - z) / (2 * most);
  const x = i => left + (w - left - right) * (i + .5) / list.length;
  const worst = list.reduce((a, b) => Math.abs(b.z) > Math.abs(a.z) ? b : a);
  const svg = make("svg", {viewBox: `0 0 ${w} ${h}`, role: "img",
    "aria-label": `Residuals of ${list.length} readings in the order read; the largest is ${worst.z.toFixed(1)} standard uncertainties, line ${worst.line}.`});
  const step = most > 40 ? Math.ceil(most / 40) * 10 : most > 8 ? 5 : most > 4 ? 2 : 1;
  for (let z = -Math.floor(most / step) * step; z <= most; z += step) {
    svg.append(make("line", {x1: left, x2: w - right, y1: y(z), y2: y(z), class: "zero", "stroke-opacity": z ? .25 : 1}));
    svg.append(make("text", {x: left - 6, y: y(z) + 4, "text-anchor": "end"}, String(z).replace("-", "−")));
  }
  list.forEach((r, i) => {
    const g = make("g", {class: r.flagged ? "flagged" : ""});
    g.append(make("line", {x1: x(i), x2: x(i), y1: y(r.z - 1), y2: y(r.z + 1), class: "bar"}));
    g.append(make("circle", {cx: x(i), cy: y(r.z), r: 4, class: "dot"}));
    if (list.length * 22 <= w - left || r.flagged) g.append(make("text", {x: x(i), y: h - bottom + 16, "text-anchor": "middle"}, r.line));
    svg.append(g);
  });
  svg.append(make("text", {x: left, y: h - 4}, "line of the log; residual in standard uncertainties"));
  $("figure").replaceChildren(svg);
};

// words are those of the state in the fields, "" for the one proposed.
const words = () => {
  const top = [...tops, ...($("added").value.trim() ? [$("added").value.trim()] : [])].join("+");
  const list = [];
  if (top) list.push("added=" + top);
  if ($("core").value) list.push("core=" + $("core").value);
  if ($("covered").value.trim()) list.push("covered=" + $("covered").value.trim().replace(/%?$/, "%"));
  if ($("hand").value.trim()) list.push("hand=" + $("hand").value.trim().replace(/(\d)$/, "$1cm"));
  return list.join(" ");
};

const empty = () => {
  tops = [];
  for (const id of ["frequency", "added", "covered", "hand"]) $(id).value = "";
  $("core").value = "";
  choices(now);
};

$("reading").addEventListener("submit", event => {
  event.preventDefault();
  const f = $("frequency").value.trim(), pm = $("pm").value.trim();
  if (!f) { refuse("Write the frequency that was read."); $("frequency").focus(); return; }
  const unit = /[a-z]/i.test(f) ? "" : now.unit;
  const spread = pm ? "±" + pm + (/[a-z%]/i.test(pm) ? "" : "kHz") : "";
  if (say([f + unit + spread, words()].join(" ").trim())) { empty(); $("frequency").focus(); }
});
$("proposed").addEventListener("click", () => { const f = $("frequency").value; empty(); $("frequency").value = f; say(""); });
$("back").addEventListener("click", () => say("<"));
$("say").addEventListener("submit", event => {
  event.preventDefault();
  if (say($("words").value)) $("words").value = "";
});

// textOf reads a file as it is, with its mark of UTF-8 if there is one; undefined where it is
// written in another way.
const textOf = async file => {
  try {
    return new TextDecoder("utf-8", {fatal: true, ignoreBOM: true}).decode(await file.arrayBuffer());
  } catch {
    refuse(file.name + " is not written in UTF-8: save it as CSV (UTF-8) first.");
  }
};

const file = (id, use) => $(id).addEventListener("change", async event => {
  const chosen = event.target.files[0];
  const text = chosen && await textOf(chosen);
  if (text !== undefined) use(chosen.name, text);
  event.target.value = "";
});
const takeLog = (name, text) => open({...kept, name, log: text});
const takeSheet = (name, text) => open({...kept, sheetName: name, sheet: text});
file("open-log", takeLog);
file("open-sheet", takeSheet);
addEventListener("dragover", event => event.preventDefault());
addEventListener("drop", async event => {
  event.preventDefault();
  const dropped = event.dataTransfer.files[0];
  if (!dropped) return;
  const text = await textOf(dropped);
  if (text === undefined) return;
  (/^\W*(quantity|what)\b/i.test(text.replace(/^#.*\n/gm, "")) ? takeSheet : takeLog)(dropped.name, text);
});

const save = (name, text) => {
  const a = el("a");
  a.href = URL.createObjectURL(new Blob([text], {type: "text/plain"}));
  a.download = name;
  a.click();
  setTimeout(() => URL.revokeObjectURL(a.href), 1000);
};
$("save-log").addEventListener("click", () => save(kept.name, kept.log));
$("save-report").addEventListener("click", () => save(kept.name.replace(/\.[^.]*$/, "") + "-report.txt", fitcoil.report().text));
$("clear").addEventListener("click", () => {
  if (!confirm("Forget the log, the sheet and what is at hand? What isn't saved is lost.")) return;
  empty();
  open({name: "evening.csv", log: "", sheetName: "", sheet: "", lines: []});
});
start().catch(err => refuse("The engine can't be started in this browser: " + err.message));
})();
