#!/usr/bin/env python3
"""Works out what follows from the demo's fits: predictions, a budget, a comparison, what a next
step would do; by docs/mathematics.md and the code of recompute.py. Writes the table that a test reads.

    cd testdata && python3 ../scripts/recompute/decide.py > recomputed/decisions.csv
"""
import math, sys
import numpy as np
from scipy.stats import norm, t as student
from coil import read
from recompute import BARE, Fit

BENCH = ('lead_capacitance', 'drift')
STATES = {'bare': {}, 'added=3.3pF': dict(parts=['3.3']), 'hand=20cm': dict(hand=0.2), 'core=rod': dict(core='rod'),
          'core=rod added=10pF': dict(core='rod', parts=['10'])}
PRIORS = {'s': "top's share of the capacitance", 'c rod': 'capacitance of core rod', 'e rod': 'end effect of core rod', 'm rod': 'capacitance moved by core rod',
          'd0': "offset of the hand's law", 'p': "exponent of the hand's law", 'lead': 'capacitance of clips and leads', 'drift': 'drift during the session'}
E6 = [a * 10**k for k in range(3) for a in (1, 1.5, 2.2, 3.3, 4.7, 6.8)]

out = sys.stdout
g9 = lambda v: '%.9g' % v
named = lambda part: part + ' pF' if part[:1].isdigit() else part


def row(*cells):
    out.write(','.join(c if isinstance(c, str) else g9(c) for c in cells) + ',' * (9 - len(cells)) + '\n')


def title(name):
    """A prior as the budget calls it."""
    kind, _, part = name.partition(' ')
    if kind == 'near':
        return "hand's law at %g cm" % (100 * float(part))
    return PRIORS.get(name) or ('tolerances in common' if kind == 'lot' else 'tolerance of ' + named(part))


def budget(fit, key):
    f, _ = fit.quantities()[key]
    slope = fit.slopes(fit.x, f)
    u = np.linalg.norm(slope @ fit.A)
    shift = [-(j @ fit.A) @ (slope @ fit.A) for j in fit.J]  # of a row's input by one standard uncertainty
    for o, s, w in zip(fit.rows, shift, fit.u):
        row('budget', key[0], 'line %d' % o['line'], w, s, (s / u)**2)
    for (name, _, _), s in zip(fit.prior, shift[fit.n:]):  # a prior's residual falls with its value, a reading's grows
        row('budget', key[0], title(name), '', -s, (s / u)**2)


def compare(a, b):
    q, r = a.quantities(), b.quantities()
    sd = lambda f: {n: s * f.room.get(n, 1) * (f.T if k in ('tolerance', 'common') else 1) for (n, _, s), k in zip(f.prior, f.kind)}
    spread = sd(a), sd(b)
    size = lambda f, n: f.T * (f.parts[n[5:]][1] if n[:4] == 'part' else float(n[4:]) if n[:3] == 'lot' else 1) if n[:4] in ('part', 'lot ') else sd(f)[n]
    for key in q:
        if key not in r or key[0] in BENCH:
            continue
        e, d = [f.estimate(h[0], **h[1]) for f, h in ((a, q[key]), (b, r[key]))]
        if not e['determined'] or not d['determined']:
            continue
        along = [{n: (J @ f.A) @ (f.slopes(f.x, h[0]) @ f.A) for (n, _, _), J in zip(f.prior, f.J[f.n:])} for f, h in ((a, q[key]), (b, r[key]))]
        variance = e['u']**2 + d['u']**2
        for n in along[0]:
            if n in along[1] and n != 'drift' and n[:5] not in ('place', 'near '):
                u, v = size(a, n), size(b, n)
                variance += ((along[1][n] / v - along[0][n] / u) * min(u, v))**2 - along[0][n]**2 - along[1][n]**2
        u = math.sqrt(max(0, variance))
        read = sum((x['u']**2 * x['shares']['readings'])**2 / f.degrees for x, f in ((e, a), (d, b)))
        nu = u**4 / read if read > 0 else math.inf
        k = student.ppf(0.975, nu) if nu < 1e9 else norm.ppf(0.975)
        v = d['value'] - e['value']
        p = 2 * (student.sf(abs(v) / u, nu) if nu < 1e9 else norm.sf(abs(v) / u))
        row('compare', key[0], ' '.join(filter(None, [key[1], named(key[2]) if key[2] else '', g9(key[3]) if key[3] else ''])), v, u, v - k * u, v + k * u, v / u, p)


def steps(fit, key):
    """What each candidate alone would make of the uncertainty."""
    slope = fit.slopes(fit.x, fit.quantities()[key][0])
    y = slope @ fit.A
    after = lambda j: math.sqrt(y @ y - (y @ (j @ fit.A))**2 / (1 + (j @ fit.A) @ (j @ fit.A)))
    n = len(fit.rows)
    typical = fit.S * math.sqrt(np.mean((fit.own / fit.f)**2))

    def reading(state, own=0.0):
        j = fit.slopes(fit.x, lambda x: np.log(fit.omega(x, [state])))[0]
        if 'drift' in fit.at:
            j[fit.at['drift']] = 0.5 + 1 / (n - 1)
        return j / math.hypot(typical, own)

    def bought(c, core, relative):
        state = dict(BARE, core=core, clip=True, parts=[])
        f = lambda extra: math.log(fit.omega(fit.x, [state], more=extra)[0])
        h = 1e-15
        per = (f(c + h) - f(c - h)) / 2 / h
        j = fit.slopes(fit.x, lambda x: np.log(fit.omega(x, [state], more=c)))[0]
        j[fit.at['drift']] = 0.5 + 1 / (n - 1)
        return j / math.hypot(typical, per * c * relative)

    def meter(part):
        j = np.zeros(len(fit.x))
        known = fit.parts[part]
        c = known[0] if known else fit.part(fit.x, part)
        by = max(0.01, 0.02e-12 / c) / 1.96
        if part in fit.lot:
            j[fit.at['part ' + part]] = math.sqrt(0.75) * known[1] / by
            j[fit.at[fit.lot[part]]] = math.sqrt(0.25) * known[1] / by
        else:
            j[fit.at['part ' + part]] = 1 / by
        return j

    parts = list(dict.fromkeys(p for r in fit.rows for p in r['parts']))
    known = [p for p in parts if fit.parts[p]]
    tops = [[]] + [[p] for p in parts] + [[p, q] for i, p in enumerate(known) for q in known[i + 1:]]
    for core in ('', 'rod'):
        behind = ['core rod'] if core else []
        for top in tops:
            row('next', key[0], '; '.join([' + '.join(map(named, top))] * bool(top) + behind) or 'bare', after(reading(dict(BARE, core=core, parts=top))))
        row('next', key[0], '; '.join(['empty clip'] + behind), after(reading(dict(BARE, core=core, clip=True))))
        coil = math.exp(fit.x[1])
        for bound in (5, 1):
            tried = {c: after(bought(c, core, bound / 196)) for c in (v * 1e-12 for v in E6) if max(1e-12, coil / 10) <= c * (1 + 1e-9) and c <= 10 * coil}
            enough = [c for c, u in tried.items() if u <= 1.1 * min(tried.values())]
            row('next', key[0], '; '.join(['any capacitor of %.9g to %.9g pF ± %d %%' % (1e12 * min(enough), 1e12 * max(enough), bound)] + behind),
                max(tried[c] for c in enough))
    for p in parts:
        row('next', key[0], named(p) + ' measured to ± 1 %', after(meter(p)))
    j = np.zeros(len(fit.x))
    j[0] = 1 / 0.012
    row('next', key[0], 'winding measured: turns; diameter; length', after(j))


def main():
    out.write("""# What follows from the fits of lighthouse.csv and rebuilt.csv, computed outside the program by
# scripts/recompute, SI. predict: value, uncertainty, ends of the 95 % interval and of that for a
# new reading. budget: uncertainty of an input, its contribution, its share. compare: difference,
# uncertainty, ends of its interval, sigmas, p. next: uncertainty as expected (; stands for a comma).
verb,quantity,of,1,2,3,4,5,6
""")
    rows, parts = read('lighthouse.csv')
    again, others = read('rebuilt.csv')
    a, b = Fit(rows, parts).fit(), Fit(again, others).fit()
    effective = ('effective_inductance', '', '', 0)
    for name, s in STATES.items():
        state = dict(BARE, **s)
        with_new = dict(parts)
        for p in state['parts']:
            with_new.setdefault(p, (float(p) * 1e-12, 0.05 / 1.96, True))
        fit = a if all(p in parts for p in state['parts']) else Fit(rows, with_new, further=[state]).fit()
        e = fit.predict(state)
        row('predict', 'frequency', name, e['value'], e['u'], *e['interval'], *e['prediction_interval'])
    budget(a, effective)
    budget(a, ('core_gain', 'rod', '', 0))
    compare(a, b)
    steps(a, effective)


if __name__ == '__main__':
    main()
