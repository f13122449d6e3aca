"use strict";
(() => {
const model = JSON.parse(document.getElementById("model").textContent);
const el = (name) => document.getElementById("try-" + name);
const form = document.getElementById("try"), needle = document.getElementById("needle");
const sliders = ["added", "covered", "hand"].filter((name) => el(name));
const number = (name) => el(name + "-number");

// A function is a sum of products of Chebyshev polynomials of each axis, the
// last fastest; an axis may have single values instead.
function basis(a, x) {
  if (a.values) return a.values.map((v) => Math.abs(x - v) < 1e-6 ? 1 : 0);
  const straight = (x) => a.shift ? Math.log(x + a.shift) : x;
  const lo = straight(a.from), hi = straight(a.to);
  const t = (2 * straight(x) - lo - hi) / (hi - lo), list = [1, t];
  while (list.length < a.n) list.push(2 * t * list[list.length - 1] - list[list.length - 2]);
  return list.slice(0, a.n);
}
function sum(numbers, bases) {
  let c = numbers.of;
  for (const b of [...bases].reverse()) {
    const next = [];
    for (let i = 0; i < c.length; i += b.length) next.push(b.reduce((s, t, k) => s + t * c[i + k], 0));
    c = next;
  }
  return numbers.step * c[0];
}
function frequency(mode, x) {
  const bases = mode.axes.map((a) => basis(a, x[a.name]));
  const f = Math.exp(sum(mode.lnf, bases));
  return { f, u: f * Math.sqrt(Math.max(0, sum(mode.v, bases))) };
}

// Two digits of the uncertainty, and the value to match.
function digits(x, places) {
  if (places >= 0) return x.toFixed(places);
  const ten = 10 ** -places;
  return (Math.round(x / ten) * ten).toFixed(0);
}
const places = (u) => 1 - Number(u.toExponential(1).split("e")[1]);
function withUncertainty(f, u) {
  const units = [["GHz", 1e9], ["MHz", 1e6], ["kHz", 1e3], ["Hz", 1]];
  const [unit, one] = units.find(([, one]) => Number(digits(f / one, places(u / one))) >= 1) || units[3];
  const p = places(u / one);
  return `${digits(f / one, p)}\u00a0±\u00a0${digits(u / one, p)}\u00a0${unit}`;
}

function setting() {
  const x = { added: 0, covered: 1, hand: 0, core: el("core") ? el("core").value : "", near: !!el("near") && el("near").checked };
  for (const name of sliders) x[name] = number(name).valueAsNumber * model.scale[name];
  if (x.covered === 0) x.core = "";
  x.full = x.core === "" || x.covered >= 1;
  return x;
}
const holds = (a, x) => !a.values || a.values.some((v) => Math.abs(v - x[a.name]) < 1e-6);
const modeOf = (x) => model.modes.find((m) => m.core === x.core && m.full === x.full && m.near === x.near && m.axes.every((a) => holds(a, x)));

function outside(mode, x) {
  const beyond = (l) => {
    const slack = 1e-9 * Math.max(Math.abs(l.from), Math.abs(l.to));
    return l.from > l.to || x[l.axis] < l.from - slack || x[l.axis] > l.to + slack;
  };
  return mode.limits.filter(beyond).map((l) => l.text);
}

// A new part brings its own tolerance: the slope of ln f against ln C times its
// relative uncertainty.
function withPart(mode, x, now) {
  const h = 1e-4, at = (k) => Math.log(frequency(mode, { ...x, added: x.added * k }).f);
  const slope = (at(1 + h) - at(1 - h)) / (2 * h);
  return Math.hypot(now.u, now.f * slope * model.part.uncertainty);
}

function about(mode, x, now) {
  const said = [];
  const bare = model.modes.find((m) => m.core === "" && !m.near);
  if (x.added === 0 && x.core === "" && !x.near) said.push("The bare coil.");
  else if (bare) said.push(`${(now.f / frequency(bare, { added: 0 }).f).toFixed(3)} of the bare frequency.`);
  if (x.added > 0 && model.part.uncertainty > 0) said.push(`With a new part of ${model.part.tolerance} tolerance: ${withUncertainty(now.f, withPart(mode, x, now))}.`);
  return said.join(" ");
}

function command(x) {
  const words = ["fitcoil", "predict", el("command").dataset.log];
  if (x.added > 0) words.push(`added=${number("added").value}${el("added").dataset.unit}±0%`);
  if (x.core) words.push(`core=${x.core}`, `covered=${number("covered").value}%`);
  if (x.near) words.push(`hand=${number("hand").value}cm`);
  const typed = words.map((w) => /^[-\w.,:=%±µ\/]+$/.test(w) ? w : `'${w.replaceAll("'", `'\\''`)}'`);
  return [...typed, el("command").dataset.flags].join(" ").trim();
}

function show() {
  const x = setting(), mode = modeOf(x), out = el("frequency");
  for (const name of sliders) el(name).setAttribute("aria-valuetext", `${number(name).value} ${el(name).dataset.unit}`);
  if (el("covered")) for (const e of [el("covered"), number("covered")]) e.disabled = el("core").value === "";
  if (el("hand")) for (const e of [el("hand"), number("hand")]) e.disabled = !x.near;
  el("command").textContent = command(x);
  el("link").href = "#" + new URLSearchParams([...sliders.map((n) => [n, number(n).value]), ...(x.core ? [["core", x.core]] : []), ...(x.near ? [["near", "1"]] : [])]);
  const wrong = sliders.find((name) => !number(name).disabled && !(number(name).value !== "" && number(name).checkValidity()));
  if (wrong || !mode) {
    out.textContent = "no number";
    delete out.dataset.hertz;
    el("about").textContent = wrong ? `This page goes from ${el(wrong).min} to ${el(wrong).max} ${el(wrong).dataset.unit}; fitcoil predict takes any value.`
      : "Not determined by these readings; fitcoil predict says why.";
    el("outside").textContent = "";
    needle.hidden = true;
    return;
  }
  const now = frequency(mode, x), beyond = outside(mode, x);
  out.textContent = withUncertainty(now.f, now.u);
  out.dataset.hertz = now.f;
  out.dataset.uncertainty = now.u;
  el("about").textContent = about(mode, x, now);
  el("outside").textContent = beyond.length ? `Extrapolated: ${beyond.join("; ")}.` : "";
  needle.hidden = false;
  needle.style.left = `${100 * Math.min(1, Math.max(0, (now.f - model.dial[0]) / (model.dial[1] - model.dial[0])))}%`;
}

// A link may carry a setting, in the units of the sliders.
function follow() {
  const given = new URLSearchParams(location.hash.slice(1));
  if (![...sliders, "core", "near"].some((name) => given.has(name))) return;
  for (const name of sliders) if (given.has(name)) el(name).value = number(name).value = given.get(name);
  if (el("core")) el("core").value = given.get("core") || "";
  if (el("near")) el("near").checked = given.has("near");
}

if (!modeOf(setting()) && el("core")) el("core").value = model.modes[0].core;
form.hidden = false;
form.addEventListener("input", (event) => {
  for (const name of sliders) {
    if (event.target === el(name)) number(name).value = el(name).value;
    if (event.target === number(name)) el(name).value = number(name).value;
  }
  show();
});
form.addEventListener("submit", (event) => event.preventDefault());
addEventListener("hashchange", () => { follow(); show(); });
follow();
show();
})();
