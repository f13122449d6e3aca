package report

import (
	"testing"

	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
)

// The first line says what is inconsistent: the model, or the ± of readings that scatter more.
func TestVerdictOnScatter(t *testing.T) {
	for _, c := range []struct {
		repeats *findings.Repeats
		want    string
	}{
		{nil, "not consistent with the model (χ²/ν = 25, p < 0.0001); ± multiplied by the Birge ratio 5.06"},
		{&findings.Repeats{Ratio: 4.8, PValue: 0.004}, "not consistent with the model (χ²/ν = 25, p < 0.0001); ± multiplied by the Birge ratio 5.06"},
		{&findings.Repeats{Ratio: 4.8, PValue: 0.32}, "consistent with the model (p = 0.320) but for ± that are too small: readings of one state scatter 4.8 times as much; ± multiplied by the Birge ratio 5.06"},
	} {
		r := &model.Result{Result: &estimation.Result{Quality: estimation.Quality{DegreesOfFreedom: 10, ChiSquare: 250, PValue: 1e-9, Scale: 5.06, Redundancy: 8}},
			Findings: []findings.Finding{{Kind: findings.ScatterExceeds, Value: 5, Other: 1e-9, Repeats: c.repeats}}}
		if got := Verdict(r); got != c.want {
			t.Errorf("%+v: %q, want %q", c.repeats, got, c.want)
		}
	}
}

// A large Birge ratio beside a model that isn't contradicted is that of few readings, and the first line says so.
func TestVerdictOnFewReadingsThatScatter(t *testing.T) {
	for scale, want := range map[float64]string{
		1.04: "consistent with the model (χ²/ν = 1.20, p = 0.300)",
		1.4:  "consistent with the model (χ²/ν = 1.20, p = 0.300); ± multiplied by the Birge ratio 1.4",
		2.91: "consistent with the model (χ²/ν = 1.20, p = 0.300); ± multiplied by the Birge ratio 2.91 of the few readings that test them",
	} {
		r := &model.Result{Result: &estimation.Result{Quality: estimation.Quality{DegreesOfFreedom: 5, ChiSquare: 6, PValue: 0.3, Scale: scale, Redundancy: 1.2}}}
		if got := Verdict(r); got != want {
			t.Errorf("%v: %q, want %q", scale, got, want)
		}
	}
}
