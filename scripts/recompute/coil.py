"""Reads a bench log and gives its residuals, by docs/mathematics.md: a uniform line with top load."""
import csv, math
import numpy as np

PLACE, APART = math.sqrt(1 - 0.2**2), 0.2


def read(path):
    """Rows of dicts: f, u [Hz], parts, core, a, b, hand [m]; tolerances by part [%]."""
    rows, parts = [], {}
    for line, cells in enumerate(csv.reader(open(path)), 1):
        if not cells or cells[0].startswith('#'):
            continue
        if not rows and 'frequency' in cells[0]:
            head = cells
            continue
        c = dict(zip(head, cells))
        get = lambda k: c.get(k, '').strip()
        names = [p.strip() for p in get('added [pF]').split('+') if p.strip()]
        for p in names:
            try:
                parts[p] = (float(p) * 1e-12, float(get('added ± [%]') or 5) / 196, True)
            except ValueError:
                parts.setdefault(p, None)
        covered = get('covered [%]') or '100'
        a, b = covered.split('..') if '..' in covered else ('0', covered)
        rows.append(dict(line=line, moment=len(rows), f=float(get('frequency [MHz]')) * 1e6, u=float(get('frequency ± [kHz]')) * 1e3, parts=names,
                         core=get('core'), a=float(a) / 100, b=float(b) / 100, hand=float(get('hand [cm]') or 'inf') / 100))
    return rows, parts


def resonate(L, cw, ct, a, b, gain, extra):
    """Lowest ω of lines (arrays): pieces [0,a], [a,b] with core, [b,1]; ct at the free end."""
    whole = cw + np.maximum(ct, 0)
    pieces = [(a, cw * a), ((b - a) * gain, cw * (b - a) + extra), (1 - b, cw * (1 - b))]

    def left(om):  # current left at the top
        v, i = np.zeros_like(om), np.ones_like(om)
        for l, c in pieces:
            c = c / whole
            phi = om * np.sqrt(np.maximum(l * c, 0))
            s, k = np.sinc(phi / np.pi), np.cos(phi)
            v, i = v * k + i * om * l * s, i * k - v * om * c * s
        return i - om * ct / whole * v

    step = 0.1 / np.sqrt(np.maximum(gain, 1))
    lo, hi = np.zeros_like(step), step
    while (todo := left(hi) > 0).any():
        lo, hi = np.where(todo, hi, lo), np.where(todo, hi + step, hi)
    x, y = lo, hi
    fx, fy = left(x), left(y)
    for _ in range(12):  # secants
        flat = fx == fy
        x, y = y, np.where(flat, y, y - fy * (y - x) / np.where(flat, 1, fy - fx))
        fx, fy = fy, left(y)
        if np.max(np.abs(x - y)) < 1e-15:
            break
    return y / np.sqrt(L * whole)


def covered(a, b, lam):
    """The share k of a core's effect along [a, b]."""
    def e(a, b):
        m = lambda a, b: lam * (math.exp(-a / lam) - math.exp(-b / lam)) / (b - a)
        u = (b - a) / (0.20 * lam)
        return (1 - 0.67 * m(a, b) - 0.59 * m(1 - b, 1 - a)) * (1 - (1 - math.exp(-u)) / u)
    return 1.0 if a <= 0 and b >= 1 else e(a, b) / e(0, 1)


class Model:
    def __init__(self, rows, parts, known=(), lumped=False, further=()):
        self.rows, self.parts, self.known, self.lumped = rows, parts, known, lumped
        every = rows + list(further)
        self.names, self.prior, self.kind = ['lnL', 'lnC'], [], []
        if not lumped:
            self.add('s', 0.3, 0.3, 'assumed')
        for c in dict.fromkeys(r['core'] for r in every if r['core']):
            self.names.append('g ' + c)
            self.add('c ' + c, 0, 0.1, 'assumed')
            self.add('e ' + c, 0, 0.7, 'assumed')
            self.add('m ' + c, math.log(0.035), 0.8, 'assumed')
        if any(math.isfinite(r['hand']) for r in rows):
            self.names.append('hand')
            self.add('d0', math.log(0.07), 1, 'assumed')
            self.add('p', 2.4, 0.6, 'assumed')
            d = sorted({r['hand'] for r in rows if math.isfinite(r['hand'])})
            self.scale = math.exp(np.mean(np.log(d)))
            for v in d if len(d) > 3 else ():
                self.add('near %g' % v, 0, 1, 'model')
        used = dict.fromkeys(p for r in every for p in r['parts'])
        self.unread = len(used) - len({p for r in rows for p in r['parts']})
        lots = [parts[p][1] for p in used if parts[p] and parts[p][2]]
        self.lot = {p: 'lot %g' % parts[p][1] for p in used if parts[p] and parts[p][2] and lots.count(parts[p][1]) > 1}
        for p in used:
            self.add('part ' + p, 0, 1, 'tolerance') if parts[p] else self.names.append('part ' + p)
        for lot in dict.fromkeys(self.lot.values()):
            self.add(lot, 0, 1, 'common')
        self.room, self.T = {'lead': 1, 'drift': 1}, 1.0
        if used:
            self.add('lead', 0, 1e-13, 'bench')
        if len(rows) > 1:
            self.add('drift', 0, 5e-4, 'bench')
        where = [(r['core'], r['a'], r['b']) for r in rows if r['core'] and r['b'] - r['a'] < 1]
        self.count = {w: where.count(w) for w in where}
        for w, n in self.count.items():
            if n > 1:
                self.add('place %s %g %g' % w, 0, 1, 'model')
        self.cache = {}
        self.at = {n: i for i, n in enumerate(self.names)}
        self.unit = np.array([1e-13 if n == 'lead' else 5e-4 if n == 'drift' else 1 for n in self.names])
        self.f, self.own = [np.array([r[k] for r in rows]) for k in 'fu']
        self.use = np.full(len(rows), True)

    def add(self, name, mean, sigma, kind):
        self.names.append(name)
        self.prior.append([name, mean, sigma])
        self.kind.append(kind)

    def part(self, x, p):
        if not self.parts[p]:
            return math.exp(x[self.at['part ' + p]])
        c, rel, _ = self.parts[p]
        error = x[self.at['part ' + p]]
        if p in self.lot:
            error = math.sqrt(0.75) * error + math.sqrt(0.25) * x[self.at[self.lot[p]]]
        return c * math.exp(rel * error)

    def hand(self, x, d):
        if not math.isfinite(d):
            return 0.0
        k = self.at['hand']
        d0 = math.exp(x[k + 1])
        off = self.at.get('near %g' % d)
        return math.exp(x[k] + (0.03 * x[off] if off else 0)) * ((self.scale + d0) / (d + d0)) ** x[k + 2]

    def omega(self, x, states, *shifts, **shift):
        known = self.cache.get(x.tobytes()) if states is self.rows and not shifts and not shift else None
        return known if known is not None else resonate(*self.lines(x, states, *shifts, **shift))

    def prepare(self, xs):
        """Works out the readings' ω at many x together, which is faster."""
        lines = [np.concatenate(a) for a in zip(*[[np.broadcast_to(v, len(self.rows)) for v in self.lines(x, self.rows)] for x in xs])]
        self.cache = dict(zip([x.tobytes() for x in xs], resonate(*lines).reshape(len(xs), -1)))

    def lines(self, x, states, more=0.0, k_shift=0.0, b_shift=0.0):
        """What resonate wants of these states."""
        C, s = math.exp(x[1]), 1.0 if self.lumped else x[2]
        cw, ct = (1 - s) * C, []
        a, b, gain, extra = [np.zeros(len(states)) for _ in range(4)]
        for i, r in enumerate(states):
            top = s * C + more + sum(self.part(x, p) for p in r['parts']) + self.hand(x, r['hand'])
            if (r['parts'] or r.get('clip')) and 'lead' in self.at:
                top += x[self.at['lead']]
            gain[i] = 1
            if r['core']:
                j = self.at['g ' + r['core']]
                a[i], b[i] = r['a'], min(1, r['b'] + b_shift)
                k = covered(a[i], b[i], 0.12 * math.exp(x[j + 2])) + (k_shift if r['b'] - r['a'] < 1 else 0)
                gain[i] = 1 + math.expm1(x[j]) * k
                extra[i] = math.expm1(x[j + 1]) * cw * (b[i] - a[i])
                if b[i] - a[i] >= 1 and not self.lumped:  # all in
                    moved = math.exp(x[j + 3]) * cw
                    extra[i] -= moved
                    top += 0.44 * moved
                if self.lumped:
                    top += math.expm1(x[j + 1]) * C * (b[i]**3 - a[i]**3)
            ct.append(top)
        return math.exp(x[0]), cw, np.array(ct), a, b, gain, extra

    def partly(self, x, states):
        """Relative uncertainty that the model adds to each state."""
        m = np.zeros(len(states))
        for i, r in enumerate(states):
            if r['core'] and r['b'] - r['a'] < 1:
                h = 1e-4
                per_k = np.log(self.omega(x, [r], k_shift=h) / self.omega(x, [r], k_shift=-h))[0] / (2 * h)
                up = min(1e-3, 1 - r['b'])
                per_b = np.log(self.omega(x, [r], b_shift=up) / self.omega(x, [r], b_shift=-1e-3))[0] / (up + 1e-3)
                m[i] = math.hypot(per_k * (0.017 if r['a'] == 0 else 0.054), per_b * 0.0029)
        return m

    def frequency(self, x, states, m):
        f = self.omega(x, states) / (2 * math.pi)
        for i, r in enumerate(states):
            j = self.at.get('place %s %g %g' % (r['core'], r['a'], r['b']))
            if j is not None:
                f[i] *= math.exp(PLACE * m[i] * x[j])
        return f

    def drift(self, x, rows=None):
        """Factor on the frequencies of rows: τ runs from −½ for the first reading used to ½ for the last."""
        first, last = self.rows[0]['moment'], self.rows[-1]['moment']
        return np.exp(x[self.at['drift']] * np.array([(r['moment'] - first) / (last - first) - 0.5 for r in rows or self.rows])) if last > first else 1

    def residuals(self, x):
        data = (self.f - self.frequency(x, self.rows, self.m) * self.drift(x)) / self.u
        prior = [(x[self.at[n]] - m) / (sd * self.room.get(n, 1) * (self.T if kind in ('tolerance', 'common') else 1))
                 for (n, m, sd), kind in zip(self.prior, self.kind)]
        for name, value, u in self.known:
            v = math.exp(x[0]) if name == 'inductance' else (1 - x[2]) * math.exp(x[1])
            prior.append(math.log(v / value) * value / u if name == 'inductance' else (v - value) / u)
        return np.concatenate([data[self.use], prior])

    def slopes(self, x, function):
        """∂function/∂x by central differences."""
        if function == self.residuals:
            self.prepare([x + sign * d for d in np.diag(self.unit * 5e-4) for sign in (1, -1)])
        cols = [(np.asarray(function(x + d)) - function(x - d)) / (2 * d.max()) for d in np.diag(self.unit * 5e-4)]
        return np.array(cols).T

    def start(self):
        x = np.zeros(len(self.names))
        plain = max(r['f'] for r in self.rows)
        x[1] = math.log(8e-12)
        x[0] = -2 * math.log(2 * math.pi * plain) - x[1]
        for i, n in enumerate(self.names):
            x[i] = {'s': 0.3, 'hand': math.log(5e-14), 'd0': math.log(0.07), 'p': 2.4}.get(n, x[i])
            if n[:2] == 'g ':
                x[i] = math.log(1.5)
            if n[:2] == 'm ':
                x[i] = math.log(0.035)
            if n[:5] == 'part ' and not self.parts[n[5:]]:
                x[i] = math.log(3e-12)
        return x
