#!/usr/bin/env python3
"""Works out a bench log anew, from docs/mathematics.md alone: uniform line with top load.

    python3 recompute.py LOG [--robust] [--known NAME=VALUE,U ...] [--predict "added=3.3,tolerance=5,core=rod,from=0,to=0.5,hand=10" ...]

NAME is inductance (H) or winding_capacitance (F); U is a standard uncertainty. Columns as in
testdata/lighthouse.csv (MHz, kHz, pF, %, cm). Output: JSON. Needs numpy and scipy; shares no
code with fitcoil, and solves by other means: resonance by secants on the transfer matrix,
derivatives by differences, least squares by scipy.
"""
import json, math, sys
import numpy as np
from scipy.optimize import least_squares
from scipy.stats import chi2, norm, t as student
from coil import APART, PLACE, Model, read


def root(J):
    """The A of (JᵀJ)⁻¹ = A Aᵀ, in the directions that J fixes, and their number."""
    scale = np.linalg.norm(J, axis=0)
    scale[scale == 0] = 1
    _, s, vt = np.linalg.svd(J / scale, full_matrices=False)
    rank = int(np.sum(s > 1e-10 * s[0]))
    return (vt[:rank].T / s[:rank]) / scale[:, None], rank


HUBER, END = 1.345, 4.685  # corners
BETA = 2 * norm.cdf(HUBER) - 1 - 2 * HUBER * norm.pdf(HUBER) + 2 * HUBER**2 * norm.cdf(-HUBER)  # E ψ² of normal residuals


class Fit(Model):
    robust, root, total = False, 1.0, 0.0  # roots of the readings' weights, and the sum of these

    def residuals(self, x):
        r = super().residuals(x)
        r[:np.sum(self.use)] *= self.root
        return r

    def plain(self, x):
        """Residuals of the readings, without weights."""
        return super().residuals(x)[:np.sum(self.use)]

    def weights(self, S1, S2):
        """Readings' stated uncertainties times S1, with the model's; S2 times all."""
        self.S1, self.S2 = S1, S2
        self.u = S2 * np.hypot(S1 * self.own, self.alone)

    def weigh(self, x):
        self.m = self.partly(x, self.rows)
        shared = [self.count.get((r['core'], r['a'], r['b']), 0) > 1 for r in self.rows]
        self.alone = self.m * np.where(shared, APART, 1) * self.f
        self.weights(1, 1)

    def solve(self, x):
        low, high = np.array([{'s ': (0, 1), 'e ': (-2.8, 1.89)}.get(n[:1] + ' ' if n == 's' else n[:2], (-np.inf, np.inf)) for n in self.names]).T
        x = np.clip(x, low, high)
        z = least_squares(lambda z: self.residuals(z * self.unit), x / self.unit, lambda z: self.slopes(z * self.unit, self.residuals) * self.unit,
                          bounds=(low, high), x_scale='jac', xtol=1e-10, ftol=1e-13, gtol=1e-9, max_nfev=100)
        self.stuck = (z.x < low + 1e-4) | (z.x > high - 1e-4)
        self.bound = int(np.sum(self.stuck))
        return z.x * self.unit

    def algebra(self, x):
        """Covariance V = A Aᵀ; leverages h and ν, with unknowns at their bounds fixed: V = F Fᵀ."""
        self.x, self.J = x, self.slopes(x, self.residuals)
        self.A, self.rank = root(self.J)
        self.F = self.A if not self.bound else root(self.J * ~self.stuck)[0]
        self.n = int(np.sum(self.use))
        self.h = np.sum((self.J[:self.n] @ self.F)**2, axis=1)
        self.nu = (self.total or self.n) - sum(self.h)

    def factor(self, x, S1, S2):
        """Solves with the factor S, of which weights are given, that makes S² = Σr²/(N − Σh)."""
        S, self.root, self.total, seen = 1.0, 1.0, 0.0, []
        for _ in range(60):
            self.weights(S1(S), S2(S))
            x, pull = self.huber(x) if self.robust else (self.solve(x), None)
            self.algebra(x)
            squares = np.sum(self.residuals(x)[:self.n]**2) if pull is None else pull
            new = max(1.0, S * math.sqrt(squares / self.nu)) if self.nu > 1 - 1e-6 else 1.0
            seen.append(new)
            if abs(new - S) < 1e-6 and not (self.robust and self.moved > 1e-6):
                break
            S = new
            if len(seen) % 4 == 3 and not self.robust:  # Aitken's step
                a, b, c = seen[-3:]
                S = max(1.0, c - (c - b)**2 / (c - 2 * b + a)) if abs(c - 2 * b + a) > 1e-12 else c
        nu = self.nu
        if self.robust:
            x, S, nu = self.forget(x, S, S1, S2)
        nu = nu if nu > 1 - 1e-6 else 1
        return x, S, nu * S**4 / (S**2 - 1 + 0.75 * math.exp(-(nu / 8)**2))**2

    def reweigh(self, x, weight, most=300):
        """Least squares with weights of the residuals, until these settle."""
        for _ in range(most):
            self.root = np.sqrt(weight(self.plain(x)))
            y = self.solve(x)
            self.moved, x = np.max(np.abs(y - x) / self.unit), y
            if self.moved < 1e-6:
                break
        return x

    def huber(self, x):
        """Solves by Huber's loss; rows then count by their common efficiency. Returns Σψ²/E ψ²."""
        x = self.reweigh(x, lambda r: np.minimum(1, HUBER / np.maximum(np.abs(r), 1e-300)), 4)
        r = self.plain(x)
        n, k = len(r), max(0, min(len(self.names) - len(self.prior) - len(self.known), len(r) - 1))
        m, pull = max(np.mean(np.abs(r) <= HUBER), 0.5 / n), np.sum(np.clip(r, -HUBER, HUBER)**2)
        K = 1 + k / n * (1 - m) / m
        self.root = math.sqrt(min(m**2 / (pull / (n - k) * K**2), (2 * norm.cdf(HUBER) - 1)**2 / BETA))
        return x, pull / BETA

    def forget(self, x, S, S1, S2):
        """Goes on to the biweight: with the S given, then once with that of what counts."""
        for again in (True, False):
            self.weights(S1(S), S2(S))
            x = self.reweigh(x, lambda r: np.maximum(0, 1 - (r / END)**2)**2)
            self.total = np.sum(self.root**2)
            self.algebra(x)
            if again:
                q, nu = END**-2, self.nu
                squares = np.sum(self.residuals(x)[:self.n]**2) * S**2 * (1 - 2 * q + 3 * q**2) / (1 - 6 * q + 15 * q**2)
                S = min(S, max(1.0, math.sqrt(squares / nu))) if nu > 1 - 1e-6 else 1.0
        kept = self.root > 0
        squares = np.sum((self.plain(x)[kept] * S)**2)
        self.judged = squares, int(np.sum(~kept))
        return x, S, nu

    def fit(self):
        """Solves; then with the tolerances times T, T² = (1 + Σe²)/(n − Σh), until that settles."""
        self.open()
        told = self.chi2, self.dof, self.aicc
        self.suspected = sorted(self.suspects())
        for _ in range(60):
            T = self.tolerances()
            if abs(T - self.T) < 1e-5:
                break
            self.T, self.room = T, {'lead': 1, 'drift': 1}
            self.open()
        self.chi2, self.dof, self.aicc = told
        return self

    def tolerances(self):
        """T, and the degrees of freedom of what it enlarges."""
        rows = [self.at[n] for (n, _, _), kind in zip(self.prior, self.kind) if kind in ('tolerance', 'common')]
        nu = sum(1 - self.A[j] @ self.A[j] / self.T**2 for j in rows)
        self.parts_degrees = math.inf
        if nu < 1.5:
            return 1.0
        T = max(1.0, math.sqrt((1 + sum(self.x[j]**2 for j in rows)) / nu))
        self.parts_degrees = nu * T**4 / (T**2 - 1 + 2 / 3 * math.exp(-(nu / 7)**2))**2
        return T

    def open(self):
        """Solves; opens the priors of drift and lead forty times where readings contradict them."""
        self.scatter()
        for name in ('drift', 'lead'):
            if name in self.at and (chi2.sf(self.chi2, self.dof) < 0.05 or self.contradicts(name)):
                self.room[name] = 40
                self.scatter()
                if not self.contradicts(name):
                    self.room[name] = 1
                    self.scatter()

    def contradicts(self, name):
        """Whether all else says of an unknown that it is further from 0 than its prior allows."""
        j, room = self.at[name], self.room[name]
        h = min(1 - 1e-12, (self.F[j] @ self.F[j]) / (self.unit[j] * room)**2)
        v, u = self.x[j] / self.unit[j] / (1 - h), room * math.sqrt(h / (1 - h))
        k = student.ppf(0.9, self.degrees) if self.degrees < 1e9 else norm.ppf(0.9)
        return self.nu >= 1 and abs(v) > k * math.hypot(u, 1)

    def scatter(self):
        x = self.x if hasattr(self, 'x') else self.start()
        for _ in range(4 if any(r['core'] and r['b'] - r['a'] < 1 for r in self.rows) else 1):  # the model's own uncertainty follows the solution
            self.weigh(x)
            x = self.solve(x)
        self.algebra(x)
        self.chi2, self.dof, k = float(np.sum(self.residuals(x)**2)), len(self.J) - self.rank + self.bound, sum(self.h)
        left = self.n - k - 1
        self.aicc = self.chi2 + 2 * k + 2 * k * (k + 1) / left if left >= 1 else math.inf
        self.stated = self.A
        x, S, self.degrees = self.factor(x, lambda S: 1, lambda S: S)
        for _ in range(3 if self.m.any() else 0):  # at the solution with S
            self.weigh(x)
            x, S, self.degrees = self.factor(x, lambda S: 1, lambda S: S)
        if self.robust:
            squares, forgotten = self.judged
            self.chi2, self.dof, self.aicc = squares + float(np.sum(self.residuals(x)[self.n:]**2)), len(self.J) - forgotten - self.rank + self.bound, None
        model = self.m * self.f
        if S > 1 and (model > 0).any() and (model == 0).any():
            self.use = model == 0
            y, S1, first = self.factor(x, lambda S: 1, lambda S: S)
            nu, self.use = self.nu, np.full(len(self.f), True)
            if S1 > 1 and all(S1 * u <= m / 4 for u, m in zip(self.own, model) if m > 0):
                x, S, second = self.factor(x, lambda S: S1, lambda S: S)
                self.degrees, self.nu = min(first, second), nu
                S *= S1
            else:
                x, S, self.degrees = self.factor(x, lambda S: 1, lambda S: S)
        self.S, weights = S, (self.S1, self.S2)
        J, A, h = self.J, self.A, self.h
        T, self.T = self.T, 1.0
        self.weights(1, 1)
        self.algebra(x)
        self.stated, self.J, self.A, self.h, self.T = self.A, J, A, h, T
        self.weights(*weights)
        self.nu = (self.total or self.n) - sum(h)

    def like(self, other):
        """χ² and AICc with the weights of another fit, as stated."""
        self.m, self.alone, self.room = other.m, other.alone, other.room
        self.weights(1, 1)
        self.algebra(self.solve(self.start()))
        chi, k = float(np.sum(self.residuals(self.x)**2)), sum(self.h)
        left = self.n - k - 1
        return dict(chi_square=chi, aicc=chi + 2 * k + 2 * k * (k + 1) / left if left >= 1 else math.inf)

    # What follows from the solution.

    def estimate(self, function, positive=True, believed=False, split=False, wider=0.0, neutral=0.0):
        value, g = float(function(self.x)), self.slopes(self.x, function)
        u, stated = [math.hypot(np.linalg.norm(g @ A), wider) for A in (self.A, self.stated)]
        share = {k: 0.0 for k in ('assumed', 'bench', 'tolerance', 'common', 'known', 'model')}
        for row, kind in zip(self.J[self.n:], self.kind + ['known'] * len(self.known)):
            share[kind] += ((row @ self.A) @ (g @ self.A) / u)**2
        share['model'] += (wider / u)**2
        share['readings'] = rho = 1 - sum(share.values())
        whole, tau = share['assumed'] >= 0.99, share['tolerance'] + share['common']
        share['assumed'] += share.pop('bench')
        a, apart = share['assumed'], np.linalg.norm(self.A[1]) <= 0.5
        rel = u / abs(value) if value else math.inf
        ok = (a <= 0.5 or rel <= 0.1) if believed else (a <= 0.5 or rel <= 0.25) if not positive else rel <= 0.1 if not apart else rel <= (0.25 if a > 0.9 else 0.5)
        if not ok or split and not apart or whole and u > 0.05 * abs(value - neutral):
            return dict(determined=False)
        if split and self.bound and abs(value) < 1e-4 * math.exp(self.x[1]):
            return dict(determined=True, value=0, u=None, stated=None, interval=[0, self.profile(function, u, self.k(rho, tau))], shares=share)
        return dict(determined=True, value=value, u=u, stated=stated, interval=interval(value, u, self.k(rho, tau), positive), shares=share)

    def profile(self, function, u, k):
        """Where χ², least for each value with all else fitted anew, has risen by k²."""
        low, stuck = np.sum(self.residuals(self.x)**2), (self.stuck, self.bound)
        unpulled, x, here = self.residuals, self.x, {}

        def zeta(value):  # the value is held by a further row, stiff but no wall
            self.residuals = lambda z: np.append(unpulled(z), (float(function(z)) - value) / (u / 30))
            here['x'] = self.solve(here.get('x', x))
            del self.residuals
            return float(function(here['x'])), math.sqrt(max(0, np.sum(unpulled(here['x'])**2) - low))

        a, b, values = 0.0, k * u, []
        while zeta(b)[1] < k:
            a, b = b, 2 * b
        for _ in range(40):
            c = (a + b) / 2
            at, z = zeta(c)
            a, b = (c, b) if z < k else (a, c)
            if abs(z - k) < 1e-5:
                break
        self.stuck, self.bound = stuck
        return at

    def k(self, rho, tau):
        d = 1 / (max(rho, 1e-9)**2 / self.degrees + tau**2 / self.parts_degrees)
        return student.ppf(0.975, d) if d < 1e9 else norm.ppf(0.975)

    def effective(self, x, state):
        """ln ω and ln C_eff: ∂ln ω/∂C_top = −1/(2 C_eff)."""
        h = 2e-3 * math.exp(x[1])
        f = lambda k: math.log(self.omega(x, [state], more=k * h)[0])
        return f(0), math.log(-6 * h / (8 * (f(1) - f(-1)) - (f(2) - f(-2))))

    def quantities(self):
        """name, core, part, hand: function and how it is treated."""
        exp, at, bare = math.exp, self.at, BARE
        q = {('inductance', '', '', 0): (lambda x: exp(x[0]), {}),
             ('winding_capacitance', '', '', 0): (lambda x: (1 - x[2]) * exp(x[1]), dict(positive=False, believed=True, split=True)),
             ('top_capacitance', '', '', 0): (lambda x: x[2] * exp(x[1]), dict(positive=False, believed=True, split=True))}
        w = lambda x, s: self.omega(x, [s])[0]
        lc = lambda x: self.effective(x, bare)
        q['effective_capacitance', '', '', 0] = lambda x: exp(lc(x)[1]), {}
        q['effective_inductance', '', '', 0] = lambda x: exp(-2 * lc(x)[0] - lc(x)[1]), {}
        q['characteristic_impedance', '', '', 0] = lambda x: exp(-sum(lc(x))), {}
        q['lc_product', '', '', 0] = lambda x: w(x, bare)**-2, {}
        q['bare_frequency', '', '', 0] = lambda x: w(x, bare) / 2 / math.pi, {}
        for c in dict.fromkeys(r['core'] for r in self.rows if r['core']):
            j = at['g ' + c]
            into = max((r for r in self.rows if r['core'] == c), key=lambda r: r['b'] - r['a'])
            into = dict(bare, core=c, a=into['a'], b=into['b'])
            gain = lambda x, j=j: exp(x[j])
            ratio = lambda x, into=into: w(x, into) / w(x, bare)
            q['core_gain', c, '', 0] = gain, dict(neutral=1)
            q['core_capacitance', c, '', 0] = lambda x, j=j: (1 - x[2]) * exp(x[1]) * math.expm1(x[j + 1]), dict(positive=False, believed=True, split=True)
            q['inductance_with_core', c, '', 0] = lambda x, gain=gain: exp(x[0]) * gain(x), {}
            q['frequency_ratio', c, '', 0] = ratio, {}
            q['gain_claimed_by_ratio', c, '', 0] = lambda x, ratio=ratio: ratio(x)**-2, {}
            q['core_frequency_drop', c, '', 0] = lambda x, into=into: (w(x, bare) - w(x, into)) / 2 / math.pi, dict(positive=False)
            q['impedance_ratio', c, '', 0] = lambda x, into=into: exp(sum(lc(x)) - sum(self.effective(x, into))), dict(neutral=1)
        if 'hand' in at:
            k = at['hand']
            q['hand_strength', '', '', 0] = lambda x: exp(x[k]) * (self.scale + exp(x[k + 1]))**x[k + 2], {}
            q['hand_offset', '', '', 0] = lambda x: exp(x[k + 1]), {}
            q['hand_exponent', '', '', 0] = lambda x: x[k + 2], dict(positive=False, believed=True)
            for d in sorted({r['hand'] for r in self.rows if math.isfinite(r['hand'])}):
                near = dict(bare, hand=d)
                q['hand_capacitance', '', '', d] = lambda x, d=d: self.hand(x, d), {}
                q['hand_frequency_drop', '', '', d] = lambda x, near=near: (w(x, bare) - w(x, near)) / 2 / math.pi, dict(positive=False)
        for p in dict.fromkeys(p for r in self.rows for p in r['parts']):
            q['part_capacitance', '', p, 0] = lambda x, p=p: self.part(x, p), {}
        for n, name in (('lead', 'lead_capacitance'), ('drift', 'drift')):
            if n in at:
                q[name, '', '', 0] = lambda x, n=n: x[at[n]], dict(positive=False, believed=True)
        return q

    def readings(self):
        r, p = self.plain(self.x), self.rank - self.bound - self.unread
        studentised = r / np.sqrt(1 - self.h)
        return [dict(line=o['line'], residual=a * u, standardised=t, leverage=h, cook=t * t * h / (1 - h) / p)
                for o, a, u, t, h in zip(self.rows, r, self.u, studentised, self.h)]

    def suspects(self):
        """Lines of readings off by more than chance, by a fit without each; of T = 1."""
        own, list_ = np.hypot(self.own, self.alone), []
        for o, r, u in zip(self.rows, self.readings(), own):
            t = abs(r['standardised'])
            if t > 2 or t > 1 and abs(r['residual']) > 3.5 * u:
                list_.append((-t, o['line'], abs(r['residual']) > 3.5 * u))
        for _, line, far in sorted(list_)[:5]:
            i = [o['line'] for o in self.rows].index(line)
            others = Fit([o for o in self.rows if o['line'] != line], self.parts, self.known, further=[self.rows[i]])
            others.robust = self.robust
            others.open()
            state, n = self.rows[i], len(self.rows)
            m = others.partly(others.x, [state])
            f = lambda x: others.frequency(x, [state], m)[0] * float(others.drift(x, [state])[0])
            u = math.hypot(others.S1 * others.S2 * state['u'], others.S2 * m[0] * state['f'])
            t = (state['f'] - f(others.x)) / math.hypot(u, np.linalg.norm(others.slopes(others.x, f) @ others.A))
            if far and abs(t) > student.ppf(1 - 0.005 / n, max(others.nu, 1e-9)):
                yield line

    def predict(self, state):
        m = self.partly(self.x, [state])[0]
        here = (state['core'], state['a'], state['b'])
        place, left, shift = 'place %s %g %g' % here in self.at, m, lambda x: 0.0
        if place:
            left = APART * m
        elif m > 0:
            i = [i for i, r in enumerate(self.rows) if (r['core'], r['a'], r['b']) == here]
            there = PLACE * self.m[i]
            u = np.hypot(self.S * self.own[i] / self.f[i], APART * self.m[i])
            info = 1 + np.sum(there**2 / u**2)
            rho = lambda x: np.log(self.f / self.frequency(x, self.rows, self.m) / self.drift(x))[i]
            shift, left = lambda x: PLACE * m * np.sum(there * rho(x) / u**2) / info, m * math.sqrt(APART**2 + PLACE**2 / info)
        f = lambda x: self.frequency(x, [state], [m])[0] * math.exp(shift(x))
        e = self.estimate(f, wider=left * f(self.x))
        own = e['value'] * self.S * math.sqrt(np.mean((self.own / self.f)**2))
        u = math.hypot(e['u'], own)
        rho = (e['shares']['readings'] * e['u']**2 + own**2) / u**2
        tau = (e['shares']['tolerance'] + e['shares']['common']) * e['u']**2 / u**2
        return dict(e, prediction_interval=interval(e['value'], u, self.k(rho, tau), True))


BARE = dict(parts=[], core='', a=0.0, b=1.0, hand=math.inf)


def interval(v, u, k, positive):
    return [v * math.exp(-k * u / v), v * math.exp(k * u / v)] if positive else [v - k * u, v + k * u]


def main():
    args, known, states, robust = sys.argv[1:], [], [], False
    rows, parts = read(args.pop(0))
    while args:
        what = args.pop(0)
        if what == '--robust':
            robust = True
            continue
        text = args.pop(0)
        if what == '--known':
            name, rest = text.split('=')
            value, u = map(float, rest.split(','))
            if name in ('inductance', 'winding_capacitance'):
                known.append((name, value, u))
            else:  # a part: u is a tolerance, and none of it is shared
                parts[name] = (value, u / value / 1.96, False)
        else:
            s = dict(w.split('=') for w in text.split(','))
            names = s.get('added', '').split('+') if s.get('added') else []
            for p in names:
                parts.setdefault(p, (float(p) * 1e-12, 0.05 / 1.96, True))
            states.append(dict(BARE, parts=names, core=s.get('core', ''), a=float(s.get('from', 0)), b=float(s.get('to', 1)), hand=float(s.get('hand', 'inf')) / 100))
    fit = Fit(rows, parts, known, further=states)
    fit.robust = robust
    fit.fit()
    lumped = Fit(rows, parts, known, lumped=True)
    print(json.dumps(dict(
        quality=dict(chi_square=fit.chi2, degrees_of_freedom=fit.dof, p_value=chi2.sf(fit.chi2, fit.dof), scale_factor=fit.S, aicc=fit.aicc),
        alternative=None if robust else lumped.like(fit),
        suspects=fit.suspected,
        estimates=[dict(zip(('name', 'core', 'part', 'hand'), key), **fit.estimate(f, **how)) for key, (f, how) in fit.quantities().items()],
        readings=fit.readings(), predictions=[fit.predict(s) for s in states]), indent=1))


if __name__ == '__main__':
    main()
