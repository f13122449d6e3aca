package report

import (
	"math"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// log is an invented coil of 1.25 mH and 3.3 pF, lumped, with what is on the
// top [pF].
func log(added ...float64) readings.Log {
	var log readings.Log
	for i, c := range added {
		s := readings.Bare()
		if c > 0 {
			s.Parts = []int{len(log.Parts)}
			log.Parts = append(log.Parts, readings.Part{Name: string(rune('a' + i)), Capacitance: c * 1e-12, Uncertainty: c * 1e-14, Known: true})
		}
		f := 1 / (2 * math.Pi * math.Sqrt(1.25e-3*(3.3e-12+c*1e-12)))
		log.Readings = append(log.Readings, readings.Reading{State: s, Line: i + 2, Use: true,
			Frequency: f, Uncertainty: 1e-4 * f, Amplitude: math.NaN(), Quality: math.NaN()})
	}
	return log
}

func mustFit(t *testing.T, s estimation.Session) *model.Result {
	t.Helper()
	return must.Get(model.Fit(s)).In(t)
}

// What a sentence says is true of the case at hand, and written as people write.
func TestWords(t *testing.T) {
	two, four := mustFit(t, estimation.Session{Log: log(0, 4.7), Lumped: true}), mustFit(t, estimation.Session{Log: log(0, 2.2, 4.7, 10)})
	measurand := decisions.Measurand{Key: quantities.Key{Name: quantities.Inductance}, State: readings.Bare()}
	for _, c := range []struct {
		name   string
		write  func(b *strings.Builder) error
		say    []string
		silent []string
	}{
		{"scatter of a hundred", func(b *strings.Builder) error {
			b.WriteString(Sentence(findings.Finding{Kind: findings.ScatterExceeds, Value: 101.3, Other: 1e-9}))
			return nil
		}, []string{"scatter 101 times"}, []string{"e+"}},
		{"no degree of freedom", func(b *strings.Builder) error {
			return FitText(b, two, decisions.Planned{}, nil, Source{}, View{Full: true})
		},
			[]string{"no degrees of freedom"}, []string{"chi-square 0", "with 0 degrees"}},
		{"nothing helps", func(b *strings.Builder) error {
			known := mustFit(t, estimation.Session{Log: log(0, 4.7), Lumped: true, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.25e-3, Uncertainty: 1e-9}}})
			return NextText(b, known, decisions.Next(known.Result, measurand, decisions.Candidates(known.Result, measurand, decisions.Bench{}), nil, 2), known.Parts(), 10, Source{}, View{})
		}, []string{"None of the 5 steps tried lowers", "--have"}, []string{"A plan"}},
		{"setting beyond the range", func(b *strings.Builder) error {
			return ReachText(b, four, decisions.Reach(four.Result, 0.7e6, readings.Bare(), nil, decisions.ByAdded, 0.01), four.Parts(), Source{}, View{})
		}, []string{"Extrapolated", "Standard value"}, []string{"0000", "9999"}},
		{"setting that no part is sold of", func(b *strings.Builder) error {
			f := four.Find(quantities.Key{Name: quantities.BareFrequency}).Value
			return ReachText(b, four, decisions.Reach(four.Result, 0.999*f, readings.Bare(), nil, decisions.ByAdded, 0.01), four.Parts(), Source{}, View{})
		}, []string{"To add"}, []string{"Standard value"}},
	} {
		var b strings.Builder
		must.Do(t, c.write(&b))
		for _, w := range c.say {
			if !strings.Contains(b.String(), w) {
				t.Errorf("%s: no %q in\n%s", c.name, w, b.String())
			}
		}
		for _, w := range c.silent {
			if strings.Contains(b.String(), w) {
				t.Errorf("%s: %q in\n%s", c.name, w, b.String())
			}
		}
	}
}

// The first line names what χ² says, and how sure that is.
func TestVerdict(t *testing.T) {
	q := func(p, scale float64, nu int) *model.Result {
		return &model.Result{Result: &estimation.Result{Problem: &estimation.Problem{}, Quality: estimation.Quality{DegreesOfFreedom: nu, ChiSquare: 12, PValue: p, Scale: scale, Redundancy: float64(nu) - 2.5}}}
	}
	alike := q(math.NaN(), 1, 0)
	alike.Problem.Alike = 10
	for _, c := range []struct {
		r    *model.Result
		want string
	}{
		{q(0.3, 1, 6), "consistent with the model (χ²/ν = 2.00, p = 0.300)"},
		{q(0.3, 1, 3), "too few to test the model or their ±"},
		{q(0.03, 1.4, 6), "hardly consistent with the model (χ²/ν = 2.00, p = 0.03); ± multiplied by the Birge ratio 1.4"},
		{q(0.005, 1.4, 6), "not consistent with the model (χ²/ν = 2.00, p = 0.005); ± multiplied by the Birge ratio 1.4"},
		{q(0.00001, 1, 6), "not consistent with the model and what is known beforehand (χ²/ν = 2.00, p < 0.0001)"},
		{q(math.NaN(), 1, 0), "as many parameters as readings: the model can't be tested"},
		{alike, "as many parameters as readings that differ: the model can't be tested"},
	} {
		if got := Verdict(c.r); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
