package readings

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// All that is told of the readings behind a mean, by hand, with weights 1, ¼, 1: the variance of
// the mean m is Σw²(d − m)²/(Σw)² · n/(n − 1), the standard deviation of one reading √n times its root.
func TestWhatIsToldOfRepeatedReadings(t *testing.T) {
	at := func(line int, f, u, amplitude, quality float64, note string) Reading {
		return Reading{State: Bare(), Line: line, Frequency: f, Uncertainty: u, Use: true, Amplitude: amplitude, Quality: quality, Note: note}
	}
	none := math.NaN()
	list := []Reading{at(4, 1500000, 50, 2, none, "warm"), at(7, 1500300, 100, none, 80, "warm"), at(9, 1499900, 50, 6, 40, "warm")}
	var p Pool
	for i, r := range list {
		p.Add(r, float64(10*i*i))
	}
	got := p.Readings()[0]
	d, w := []float64{0, 300, -100}, []float64{1, 0.25, 1}
	var sum, weight, square float64
	for i := range d {
		sum, weight = sum+w[i]*d[i], weight+w[i]
	}
	m := sum / weight
	for i := range d {
		square += math.Pow(w[i]*(d[i]-m)/weight, 2) * 3 / 2
	}
	close := func(what string, got, want float64) {
		if !(math.Abs(got-want) <= 1e-9*math.Abs(want)) {
			t.Errorf("%s: %.12g, want %.12g", what, got, want)
		}
	}
	close("mean", got.Frequency, 1500000+m)
	close("its uncertainty", got.Uncertainty, math.Sqrt(square))
	close("standard deviation", got.Repeats.Deviation, math.Sqrt(3*square))
	close("amplitude", got.Amplitude, 4)
	close("quality", got.Quality, 60)
	close("moment", p.Moments()[0], 50.0/3)
	if r := got.Repeats; r.Count != 3 || r.Last != 9 || r.Slow != 1 || r.Wanders || r.Lowest != (Extreme{9, 1499900}) || r.Highest != (Extreme{7, 1500300}) {
		t.Errorf("%+v", r)
	}
	if got.Line != 4 || got.Note != "warm" || got.FromDigits || got.Count() != 3 {
		t.Errorf("%+v", got)
	}
	// By what they state alone, 50/√2.25, with half a digit's share once: one with another note.
	list[1].Frequency, list[2].Frequency, list[2].Note, list[0].FromDigits = 1500000, 1500000, "cold", true
	got = pooled(list)[0]
	close("stated", got.Uncertainty, math.Hypot(50*math.Sqrt(1.25)/2.25, 50/2.25))
	if first := (Extreme{4, 1500000}); got.Repeats.Lowest != first || got.Repeats.Highest != first { // of equal ones the first
		t.Errorf("%+v", got.Repeats)
	}
	if got.Note != "" || got.FromDigits || got.Repeats.Slow != 1 || got.Repeats.Deviation != 0 {
		t.Errorf("%+v", got)
	}
	if one := pooled(list[:1])[0]; one.Repeats != nil || one.Count() != 1 || one.Frequency != 1500000 {
		t.Errorf("one reading: %+v", one)
	}
}

// Blocks count once there are 32 of them, by hand, with errors ±a. Where two neighbours are equal
// and the pairs alternate, 31 blocks of two say nothing; 32 say that the variance of the mean, a²/63
// from singles, is a²/31, more than half as much again, so that no mean settles: it is uncertain by
// as much as a block, a√(32/31). Where every other four cancel, blocks of four add little to
// blocks of two: a²/127 from singles, a²/63 and a²/62, and the mean is uncertain by the last.
func TestBlocks(t *testing.T) {
	const a = 150.0
	alternate := func(i int) float64 { return []float64{3, 3, -3, -3}[i%4] }
	cancel := func(i int) float64 { return []float64{3, 3, 3, 3, 3, 3, -3, -3, -3, -3, -3, -3, 3, 3, -3, -3}[i%16] }
	for _, c := range []struct {
		n       int
		of      func(int) float64
		u, slow float64
		wanders bool
	}{
		{62, alternate, a * math.Sqrt(1.0/61*(1-1.0/31/31)), 1, false}, // 16 pairs above, 15 below: a mean of a/31
		{64, alternate, a * math.Sqrt(32.0/31), math.Sqrt(63.0 * 32 / 31), true},
		{128, cancel, a / math.Sqrt(62), math.Sqrt(127.0 / 62), false},
	} {
		got := pooled(repeated(c.n, c.of))[0]
		if r := got.Repeats; !(math.Abs(got.Uncertainty/c.u-1) <= 1e-9) || !(math.Abs(r.Slow/c.slow-1) <= 1e-9) || r.Wanders != c.wanders {
			t.Errorf("%d readings: ± %v, slow %v, wanders %v; want %v, %v", c.n, got.Uncertainty, r.Slow, r.Wanders, c.u, c.slow)
		}
	}
}

// A median is the middle one, or half-way between the two in the middle.
func TestMiddle(t *testing.T) {
	for _, c := range []struct {
		v    []float64
		want float64
	}{{[]float64{3}, 3}, {[]float64{4, 1}, 2.5}, {[]float64{9, 1, 2}, 2}, {[]float64{9, 1, 2, 4}, 3}} {
		if got := middle(slices.Clone(c.v)); got != c.want {
			t.Errorf("%v: %v", c.v, got)
		}
	}
}

// Pseudo-values, against the definition: at Huber's estimate m the clipped residuals, weighted,
// add up to nothing, found here by bisection; each stands at m + s·ψ/a. Eight readings are the
// fewest, of seven nothing moves.
func TestPseudoValues(t *testing.T) {
	rng := rand.New(rand.NewPCG(14, 3))
	const uncertainty = 50.0
	for _, n := range []int{7, 8, 15} {
		s := &sample{}
		for range n {
			s.d, s.root = append(s.d, 60*rng.NormFloat64()), append(s.root, 0.5+rng.Float64())
		}
		s.d[2] += 2000
		d := slices.Clone(s.d)
		s.pseudo(uncertainty)
		if n < 8 {
			if !slices.Equal(s.d, d) {
				t.Errorf("seven readings: %v of %v", s.d, d)
			}
			continue
		}
		sorted := slices.Clone(d)
		slices.Sort(sorted)
		median := (sorted[(n-1)/2] + sorted[n/2]) / 2
		var off []float64
		for i := range d {
			off = append(off, math.Abs(d[i]-median)*s.root[i]/uncertainty)
		}
		slices.Sort(off)
		scale := math.Max(1, 1.4826022185*(off[(n-1)/2]+off[n/2])/2)
		psi := func(m float64, i int) float64 {
			return max(-1.345, min(1.345, (d[i]-m)*s.root[i]/uncertainty/scale))
		}
		pull := func(m float64) (sum float64) {
			for i := range d {
				sum += s.root[i] * psi(m, i)
			}
			return sum
		}
		lo, hi := -1e4, 1e4
		for range 200 {
			if m := (lo + hi) / 2; pull(m) > 0 {
				lo = m
			} else {
				hi = m
			}
		}
		var all, inside float64
		for i := range d {
			all += s.root[i] * s.root[i]
			if math.Abs(psi(lo, i)) < 1.345 {
				inside += s.root[i] * s.root[i]
			}
		}
		for i := range d {
			if want := lo + uncertainty/s.root[i]*scale*psi(lo, i)*all/inside; !(math.Abs(s.d[i]-want) <= 1e-6*uncertainty) {
				t.Errorf("%d readings: pseudo-value %d at %v, want %v", n, i, s.d[i], want)
			}
		}
	}
}

// Longer blocks count where the variance that they give of the mean is more than that of single readings
// by three standard deviations, √(2/(n − 1)) of it each, of n blocks that are 32 at least; and a mean wanders
// where twice as long ones give half as much again.
func TestScatterByBlocks(t *testing.T) {
	of := func(ratios ...float64) *group { // variance of the mean by blocks of 1, 2, 4 … over that by single readings
		g := &group{n: 32 << (len(ratios) - 1)}
		for k, r := range ratios {
			n := float64(g.n >> k)
			g.blocks = append(g.blocks, blocks{n: n, w: 100, sum: r * 4e4 * (n - 1) / n})
		}
		return g
	}
	limit := 1 + 3*math.Sqrt(2./31)
	for what, c := range map[string]struct {
		g       *group
		slow    float64
		wanders bool
	}{
		"single": {of(1), 1, false}, "just": {of(1, limit*1.01), math.Sqrt(limit * 1.01), true}, "not quite": {of(1, limit*0.99), 1, false},
		"growing": {of(1, 2, 3.02), math.Sqrt(3.02 * 32), true}, "hardly": {of(1, 2, 2.98), math.Sqrt(2.98), false}, "over": {of(1, 3, 2), math.Sqrt(3), false},
	} {
		s := c.g.scatter(0)
		want := c.slow
		if c.wanders && what == "just" {
			want *= math.Sqrt(32)
		}
		if !(math.Abs(s.slow/want-1) <= 1e-9) || s.wanders != c.wanders || !(math.Abs(s.mean/want-2) <= 1e-9) || !(math.Abs(s.single-2*math.Sqrt(float64(c.g.n))) <= 1e-9) {
			t.Errorf("%s: %+v, want %v times as uncertain, wanders %v", what, s, want, c.wanders)
		}
	}
	few := of(1, 9)
	few.blocks[1].n = 31
	if s := few.scatter(0); s.slow != 1 || s.wanders {
		t.Errorf("by 31 blocks: %+v", s)
	}
}

// The lowest and the highest of a state's readings are told with their lines, in whatever order they were read.
func TestExtremesInAnyOrder(t *testing.T) {
	f := []float64{1000300, 1000100, 1000400, 1000200}
	seen := 0
	for i := range 256 {
		order := []int{i & 3, i >> 2 & 3, i >> 4 & 3, i >> 6}
		if len(slices.Compact(slices.Sorted(slices.Values(order)))) != 4 {
			continue
		}
		seen++
		var list []Reading
		for _, k := range order {
			list = append(list, Reading{State: Bare(), Line: 10 + k, Frequency: f[k], Uncertainty: 100, Use: true})
		}
		if r := pooled(list)[0].Repeats; r.Lowest != (Extreme{11, 1000100}) || r.Highest != (Extreme{12, 1000400}) || r.Last != 10+order[3] || r.Count != 4 {
			t.Errorf("%v: %+v", order, r)
		}
	}
	if seen != 24 {
		t.Errorf("%d orders", seen)
	}
}
